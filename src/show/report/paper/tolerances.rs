//! Tolerances of the solver and limits of the certificate, from where they are kept.

use super::fact::Fact;
use crate::mechanics::{Certificate, Settings};
use crate::show::table::Table;
use crate::study::PULL;

/// Every tolerance and limit of the solver, and of the certificate, as a table.
pub(super) fn tolerances() -> Table {
    let s = Settings::default();
    let mut table = Table::new(
        "tolerances",
        "Tolerances and limits of the solver, and of the certificate",
        &["what", "value", "unit"],
    );
    let degrees = f64::to_degrees;
    for (what, value, unit) in [
        ("Newton: net force, relative to the largest force", s.relative, ""),
        ("Newton: net force accepted in any case", s.absolute, "N"),
        ("Newton: net force left by a step within a ramp, relative to the largest force", s.passing, ""),
        ("Newton: what a push may lack to its distance", s.lag, "mm"),
        ("Newton iterations before a step is halved", s.iterations as f64, ""),
        ("shortenings of a Newton step that makes the residual larger", s.shortenings as f64, ""),
        ("largest shift of an accepted step", s.shift, "mm"),
        ("largest turn of an accepted step", s.turn, "rad"),
        ("largest change of a segment in an accepted step, share of its length", s.segment, ""),
        ("how far a step of a pull may turn the fragment aside from its way", PULL.stray, "mm"),
        ("least share of a pull to which a step is shortened for turning aside", s.finest, ""),
        ("smallest share of a ramp before the viscous path", s.smallest, ""),
        ("share of a ramp's first step that a viscous path covers", s.viscous_stride, ""),
        ("shift above which the end of a viscous path is a jump", s.jump.0, "mm"),
        ("turn above which it is a jump", s.jump.1, "rad"),
        ("steps of a viscous path before it is given up", s.viscous_steps as f64, ""),
        ("distance at which the fragment is lost", s.lost_shift, "mm"),
        ("length of a viscous path after which it is lost", s.lost_path, "mm"),
        ("turn at which it is lost", degrees(s.lost_turn), "deg"),
        ("certificate: net force, whichever is larger", Certificate::NET_FORCE, "N"),
        ("certificate: net force, share of the largest force", Certificate::SHARE, ""),
        ("certificate: net moment, whichever is larger", Certificate::NET_MOMENT, "N·mm"),
        (
            "certificate: net moment, share of the largest force times the bed's radius of gyration",
            Certificate::SHARE,
            "",
        ),
        ("certificate: shear of a cell beyond its friction limit", Certificate::FRICTION_EXCESS, "MPa"),
        ("certificate: tension beyond its capstan bound, share of it", Certificate::CAPSTAN_EXCESS, ""),
        ("certificate: tension of the bed", 0.0, "MPa"),
        ("certificate: compression of a strand, push of a screw's head", 0.0, "N"),
        ("certificate: shift of the tangent", 0.0, "N/mm"),
    ] {
        table.row([what.into(), Fact::exact(value, unit).into(), unit.into()]);
    }
    table
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_limits_of_the_certificate_are_those_it_keeps() {
        // The two sides of each limit that the table tells.
        type Set = fn(&mut Certificate, f64);
        let limits: [(f64, Set); 5] = [
            (1e-6, |c, v| c.net_force = v),
            (1e-6, |c, v| c.net_node_force = v),
            (1e-5, |c, v| c.net_moment = v),
            (1e-9, |c, v| c.friction_excess = v),
            (1e-9, |c, v| c.capstan_excess = v),
        ];
        for (limit, set) in limits {
            for (factor, holds) in [(0.999, true), (1.001, false)] {
                let mut certificate = Certificate::default();
                set(&mut certificate, factor * limit);
                assert_eq!(certificate.holds(), holds, "{limit}");
            }
        }
        let none: [Set; 3] = [|c, v| c.least_pressure = -v, |c, v| c.least_tension = -v, |c, v| c.least_head = -v];
        for (k, set) in none.iter().enumerate() {
            for (value, holds) in [(0.0, true), (1e-300, false)] {
                let mut certificate = Certificate::default();
                set(&mut certificate, value);
                assert_eq!(certificate.holds(), holds, "{k}");
            }
        }
        // Beside large forces a share of them: of 1000 N, at a lever of 7 mm.
        let large: [(f64, Set); 3] =
            [(1e-5, |c, v| c.net_force = v), (1e-5, |c, v| c.net_node_force = v), (7e-5, |c, v| c.net_moment = v)];
        for (limit, set) in large {
            for (factor, holds) in [(0.999, true), (1.001, false)] {
                let mut certificate = Certificate { largest_force: 1e3, arm: 7.0, ..Certificate::default() };
                set(&mut certificate, factor * limit);
                assert_eq!(certificate.holds(), holds, "{limit}");
            }
        }
        let told: Vec<f64> = tolerances()
            .rows
            .iter()
            .filter(|row| row[0].text.starts_with("certificate: "))
            .filter_map(|row| row[1].value)
            .collect();
        assert_eq!(told, [1e-6, 1e-8, 1e-5, 1e-8, 1e-9, 1e-9, 0.0, 0.0, 0.0]);
    }
}
