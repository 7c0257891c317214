//! The quantities of a repair: one row each. Tables, CSV, samples, indices, sweeps, figures and the golden
//! numbers read these rows; a new quantity is one row more.

use crate::mechanics::Pose;
use crate::model::{AnchorSpec, Case, Construct};
use crate::study::result::{BedState, Compared, CyclePoint, Measures, Push, PushPoint, TiedState};

/// Which way a quantity is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Better {
    /// The more the better; a fragment that comes loose has less of it than any that is held.
    More,
    /// The less the better.
    Less,
    /// The nearer to zero the better, on either side.
    NearZero,
    /// Neither: it describes.
    Neither,
}

/// The tied fragment, as far as quantities read it.
#[derive(Debug, Clone, Copy)]
pub struct TiedView<'a> {
    /// The fracture bed.
    pub bed: &'a BedState,
    /// How the fragment lies.
    pub measures: &'a Measures,
    /// Its pose.
    pub pose: Pose,
    /// The whole state; absent in samples, which do not keep it.
    pub state: Option<&'a TiedState>,
}

/// What quantities are read of: a repair, tied and pushed as far as it went.
#[derive(Debug, Clone, Copy)]
pub struct View<'a> {
    /// The case.
    pub case: &'a Case,
    /// The construct on it.
    pub construct: &'a Construct,
    /// As tied; absent when fixation fails before.
    pub tied: Option<TiedView<'a>>,
    /// The push; absent when there was none.
    pub push: Option<&'a Push>,
    /// The whole comparison; absent in samples, which do not keep it.
    pub compared: Option<&'a Compared>,
}

impl<'a> View<'a> {
    /// The view of a construct that was compared.
    pub fn of(case: &'a Case, construct: &'a Construct, found: &'a Compared) -> Self {
        let view = Self::of_state(case, construct, found.hold.tied.as_ref(), found.push.as_ref());
        Self { compared: Some(found), ..view }
    }

    /// The view of a tied state with its push.
    pub fn of_state(
        case: &'a Case,
        construct: &'a Construct,
        tied: Option<&'a TiedState>,
        push: Option<&'a Push>,
    ) -> Self {
        let tied = tied.map(|state| TiedView {
            bed: &state.bed,
            measures: &state.measures,
            pose: state.measures.pose(),
            state: Some(state),
        });
        Self { case, construct, tied, push, compared: None }
    }

    /// The last point of settling, under the least load of a cycle.
    fn settled(&self) -> Option<&'a CyclePoint> {
        let settling = self.push?.settling.as_ref()?;
        settling.points.last().filter(|_| settling.outcome.is_held())
    }

    fn bed(&self, of: fn(&BedState) -> f64) -> Option<f64> {
        self.tied.map(|t| of(t.bed))
    }

    fn lies(&self, of: fn(&Measures) -> f64) -> Option<f64> {
        self.tied.map(|t| of(t.measures))
    }

    /// A number at a displacement of the push (mm), linear between recorded states; absent beyond them.
    pub(crate) fn at(&self, mark: f64, of: &dyn Fn(&PushPoint) -> f64) -> Option<f64> {
        self.push?.curve.windows(2).find_map(|pair| {
            let (a, b) = (&pair[0], &pair[1]);
            (a.displacement <= mark && mark <= b.displacement + 1e-9).then(|| {
                let s = ((mark - a.displacement) / (b.displacement - a.displacement)).min(1.0);
                of(a) + s * (of(b) - of(a))
            })
        })
    }

    fn lower_end(&self) -> Option<[f64; 2]> {
        self.tied.map(|t| crate::study::lower_end(&self.case.fragment, &t.pose))
    }
}

/// A quantity.
#[derive(Debug, Clone, Copy)]
pub struct Quantity {
    /// Key as typed and as the head of a column, e.g. `load-1mm`.
    pub key: &'static str,
    /// In words, e.g. `articular step-off at 1 mm of push`.
    pub label: &'static str,
    /// In the few words that an axis or a cell has room for.
    pub short: &'static str,
    /// Unit; empty for a number without one.
    pub unit: &'static str,
    /// Decimals in print.
    pub decimals: usize,
    /// Which way is better.
    pub better: Better,
    /// Whether samples and sweeps keep it.
    pub sampled: bool,
    /// Whether constructs are compared by it.
    pub headline: bool,
    /// Its value, in its unit.
    pub of: fn(&View<'_>) -> Option<f64>,
}

impl Quantity {
    /// The short words with the unit in parentheses.
    pub fn axis(&self) -> String {
        crate::study::result::with_unit(self.short, self.unit)
    }

    /// The same quantity as results name it.
    pub fn named(&self) -> crate::study::result::Quantity {
        crate::study::result::Quantity {
            key: self.key.to_owned(),
            label: self.label.to_owned(),
            unit: self.unit.to_owned(),
        }
    }

    const fn sampled(self) -> Self {
        Self { sampled: true, ..self }
    }

    /// A number for the record: in files, not in the comparison.
    const fn detail(self) -> Self {
        Self { headline: false, ..self }
    }
}

const fn row(
    key: &'static str,
    (label, short): (&'static str, &'static str),
    (unit, decimals): (&'static str, usize),
    better: Better,
    of: fn(&View<'_>) -> Option<f64>,
) -> Quantity {
    Quantity { key, label, short, unit, decimals, better, sampled: false, headline: true, of }
}

use Better::{Less, More, NearZero, Neither};

/// All of them, in the order of tables.
pub const QUANTITIES: &[Quantity] = &[
    row("compression", ("bed compression when tied", "compression of the bed"), ("N", 0), More, |v| {
        v.bed(|b| b.compression)
    })
    .sampled(),
    row("peak-pressure", ("largest pressure when tied", "largest pressure"), ("MPa", 2), Less, |v| {
        v.bed(|b| b.peak_pressure)
    })
    .sampled(),
    row("mean-pressure", ("mean pressure in contact when tied", "mean pressure"), ("MPa", 2), Neither, |v| {
        v.bed(|b| b.mean_pressure)
    }),
    row("contact", ("share of the bed in contact when tied", "bed in contact"), ("%", 0), More, |v| {
        v.bed(|b| 100.0 * b.contact)
    })
    .sampled(),
    row("sliding", ("share of the contact at its friction limit when tied", "contact sliding"), ("%", 0), Less, |v| {
        v.bed(|b| 100.0 * b.sliding)
    })
    .detail(),
    row("crushed", ("share of the bed above its crush strength when tied", "bed crushed"), ("%", 0), Less, |v| {
        v.bed(|b| 100.0 * b.crushed)
    }),
    row("friction", ("friction of the bed when tied", "friction of the bed"), ("N", 0), Neither, |v| {
        v.bed(|b| b.friction)
    })
    .detail(),
    row("reserve", ("friction reserve when tied", "friction reserve"), ("%", 0), More, |v| {
        v.tied?.bed.reserve.map(|r| 100.0 * r)
    })
    .sampled(),
    row(
        "pull-angle",
        ("angle between the pull and the bed's normal when tied", "pull off square"),
        ("°", 1),
        Less,
        |v| v.tied?.state?.resultant_angle,
    ),
    row(
        "anchor-edge",
        ("least distance of an anchor to the fracture edge", "anchor to fracture edge"),
        ("mm", 1),
        More,
        |v| {
            let edge = |a: &AnchorSpec| (v.case.fragment.nearest_edge_point(&a.point) - a.point).norm();
            v.construct.anchors.iter().map(edge).min_by(f64::total_cmp)
        },
    ),
    row("cartilage", ("strand across intact cartilage when tied", "strand over cartilage"), ("mm", 1), Less, |v| {
        Some(v.tied?.state?.cartilage)
    }),
    row(
        "step",
        ("articular step-off when tied, proud positive", "step-off as tied, + proud"),
        ("mm", 1),
        NearZero,
        |v| v.lies(|m| m.step.value),
    )
    .sampled(),
    row(
        "gap",
        ("gap at the fracture line when tied, open positive", "gap as tied, + open"),
        ("mm", 1),
        NearZero,
        |v| v.lies(|m| m.gap.value),
    ),
    row("tilt", ("lateral tilt when tied", "lateral tilt as tied"), ("°", 1), NearZero, |v| v.lies(|m| m.tilt))
        .sampled(),
    row("spin", ("spin on the bed when tied", "spin"), ("°", 1), NearZero, |v| v.lies(|m| m.spin)).detail(),
    row("yaw", ("opening toward one end when tied", "yaw"), ("°", 1), NearZero, |v| v.lies(|m| m.yaw)).detail(),
    row("inferior", ("inferior shift when tied", "inferior shift"), ("mm", 1), NearZero, |v| {
        v.lies(|m| m.inferior_middle)
    })
    .detail(),
    row("down-plane", ("shift down the plane when tied", "shift down the plane"), ("mm", 1), NearZero, |v| {
        v.lies(|m| m.down_plane)
    })
    .detail(),
    row(
        "lower-gap",
        ("gap of the inferior end when tied", "gap of the inferior end, negative: pressed"),
        ("mm", 1),
        NearZero,
        |v| v.lower_end().map(|l| l[0]),
    )
    .detail()
    .sampled(),
    row(
        "lower-off",
        ("distance of the inferior end from its reduced place when tied", "inferior end off its place"),
        ("mm", 1),
        Less,
        |v| v.lower_end().map(|l| l[1]),
    )
    .detail()
    .sampled(),
    row("softest", ("stiffness of the softest motion when tied", "softest motion"), ("N/mm", 0), More, |v| {
        v.tied?.state?.weakest.first().map(|w| w.stiffness)
    })
    .detail(),
    row("settled-compression", ("compression of the bed when settled", "compression, settled"), ("N", 0), More, |v| {
        Some(v.settled()?.compression)
    })
    .sampled(),
    row(
        "settled-step",
        ("articular step-off when settled, proud positive", "step-off settled, + proud"),
        ("mm", 1),
        NearZero,
        |v| Some(v.settled()?.measures.step.value),
    ),
    row("settled-motion", ("displacement left by settling", "displacement left by settling"), ("mm", 2), Less, |v| {
        Some(v.settled()?.rest)
    })
    .detail(),
    row("tied-load-1mm", ("load at 1 mm of the repair as tied", "load at 1 mm, as tied"), ("N", 0), More, |v| {
        v.compared?.as_tied?[1]
    }),
    row("load-0.5mm", ("load at 0.5 mm", "load at 0.5 mm"), ("N", 0), More, |v| v.at(0.5, &|p| p.load)),
    row("load-1mm", ("load at 1 mm", "load at 1 mm"), ("N", 0), More, |v| v.at(1.0, &|p| p.load)).sampled(),
    row("load-2mm", ("load at 2 mm", "load at 2 mm"), ("N", 0), More, |v| v.at(2.0, &|p| p.load)).sampled(),
    row("step-1mm", ("articular step-off at 1 mm of push", "step-off at 1 mm, + proud"), ("mm", 1), NearZero, |v| {
        v.at(1.0, &|p| p.measures.step.value)
    })
    .detail()
    .sampled(),
    row("step-2mm", ("articular step-off at 2 mm of push", "step-off at 2 mm, + proud"), ("mm", 1), NearZero, |v| {
        v.at(2.0, &|p| p.measures.step.value)
    })
    .detail()
    .sampled(),
    row("tilt-2mm", ("lateral tilt at 2 mm of push", "lateral tilt at 2 mm"), ("°", 1), NearZero, |v| {
        v.at(2.0, &|p| p.measures.tilt)
    })
    .detail()
    .sampled(),
    row("stiffness", ("stiffness at the start of the push", "stiffness at first"), ("N/mm", 0), More, |v| {
        v.push?.stiffness
    }),
    row("failure-load", ("failure load", "failure load"), ("N", 0), More, |v| {
        let ultimate = v.compared.and_then(|c| c.ultimate.as_ref());
        let failure = ultimate.map_or(v.push?.failure.as_ref(), |u| u.failure.as_ref());
        Some(failure?.load)
    }),
    row("peak-load", ("largest load within the push", "largest load in the push"), ("N", 0), More, |v| {
        v.push?.peak.map(|p| p[0])
    })
    .sampled(),
    row("peak-at", ("displacement at the largest load", "largest load at"), ("mm", 2), Neither, |v| {
        v.push?.peak.map(|p| p[1])
    })
    .detail(),
    row("reach", ("displacement that the push came to", "held to"), ("mm", 2), More, |v| {
        v.push?.curve.last().map(|p| p.displacement)
    })
    .detail(),
];

/// Those that samples and sweeps keep, in the order of their rows of numbers.
pub fn sampled() -> impl Iterator<Item = &'static Quantity> {
    QUANTITIES.iter().filter(|q| q.sampled)
}

/// A quantity by its key.
///
/// # Panics
/// When the program names a quantity that it does not have.
pub fn quantity(key: &str) -> &'static Quantity {
    QUANTITIES.iter().find(|q| q.key == key).unwrap_or_else(|| unreachable!("no quantity {key}"))
}

/// Place of a quantity among [`sampled`].
///
/// # Panics
/// When samples do not keep it.
pub fn place_of(key: &str) -> usize {
    sampled().position(|q| q.key == key).unwrap_or_else(|| unreachable!("no sampled quantity {key}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_words_of_their_own() {
        for (k, q) in QUANTITIES.iter().enumerate() {
            assert!(QUANTITIES[..k].iter().all(|other| other.key != q.key), "{}", q.key);
            assert!(
                q.key.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || "-.".contains(c)),
                "{}",
                q.key
            );
        }
        assert_eq!(place_of("compression"), 0);
    }

    /// The face edge of the fracture is the chord of the circle: an anchor beside it is as far as it stands square
    /// from the line, one beyond its end by the theorem of Pythagoras (plane geometry).
    #[test]
    fn the_distance_to_the_fracture_edge_is_that_of_the_plane() {
        use crate::math::Vec3;
        use crate::model::ConstructFile;
        let case = Case::open("quarter").unwrap();
        let mut construct = ConstructFile::open("one-by-one").unwrap().fit(&case).unwrap();
        let f = &case.fragment;
        let middle = f.bed_origin();
        let inward = -Vec3::new(f.outward.x, f.outward.y, 0.0).normalize();
        construct.anchors.truncate(2);
        construct.anchors[0].point = middle + 4.0 * inward;
        construct.anchors[1].point = f.edge_point(f.half_chord) + 3.0 * inward + 4.0 * f.along;
        let distance = |construct: &Construct| {
            let view = View { case: &case, construct, tied: None, push: None, compared: None };
            (quantity("anchor-edge").of)(&view)
        };
        assert!((distance(&construct).unwrap() - 4.0).abs() < 1e-6, "{:?}", distance(&construct));
        construct.anchors.remove(0);
        // Beyond the end of the chord: 3, 4 and 5.
        assert!((distance(&construct).unwrap() - 5.0).abs() < 1e-6, "{:?}", distance(&construct));
        construct.anchors.clear();
        assert_eq!(distance(&construct), None);
    }
}
