//! Random valid cases and constructs as TOML text, from a seed. Same seed, same text, on any machine.
//!
//! Even seeds are orderly: a limb crosses the bone near the line between its anchors, a loop's bite
//! lies opposite its anchor. Odd seeds are wild: every place is drawn by itself.

use rimhold::model::{Case, Construct, ConstructFile};
use std::fmt::Write;

/// SplitMix64 (Steele, Lea and Flood, OOPSLA 2014): small, and its stream is fixed by the seed.
pub struct Random(u64);

impl Random {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Between 0 and 1.
    fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Evenly in the logarithm: as many small values as large ones.
    fn spread(&mut self, low: f64, high: f64) -> f64 {
        self.between(low.ln(), high.ln()).exp()
    }

    fn chance(&mut self, share: f64) -> bool {
        self.unit() < share
    }

    fn pick<T: Copy>(&mut self, list: &[T]) -> T {
        list[(self.next() % list.len() as u64) as usize]
    }
}

/// A rig to try: its files, what they mean, and how it is started and pushed.
pub struct Trial {
    pub case_text: String,
    pub construct_text: String,
    pub case: Case,
    pub construct: Construct,
    pub displaced: bool,
    pub direction: &'static str,
    pub guided: bool,
}

/// The trial of a seed. Texts that a range, the bone or the geometry refuses are drawn again, and
/// counted: with the ranges below that happens about once in ten draws.
pub fn trial(seed: u64) -> (Trial, usize) {
    let mut random = Random::new(seed);
    let mut refused = 0;
    let (case_text, case) = loop {
        let text = case_text(&mut random, seed);
        match Case::parse("case.toml", &text) {
            Ok(case) => break (text, case),
            Err(_) => refused += 1,
        }
        assert!(refused < 200, "seed {seed}: no valid case in 200 draws");
    };
    let (construct_text, construct) = loop {
        let text = construct_text(&mut random, seed % 2 == 1);
        let read = ConstructFile::parse("construct.toml", &text).and_then(|file| file.fit(&case));
        match read {
            Ok(construct) => break (text, construct),
            Err(_) => refused += 1,
        }
        assert!(refused < 400, "seed {seed}: no valid construct in 200 draws\n{text}");
    };
    let trial = Trial {
        case_text,
        construct_text,
        case,
        construct,
        displaced: random.chance(0.5),
        direction: if random.chance(0.7) {
            "inferior"
        } else {
            random.pick(&["superior", "medial", "lateral", "anterior", "posterior"])
        },
        guided: random.chance(0.15),
    };
    (trial, refused)
}

fn case_text(r: &mut Random, seed: u64) -> String {
    let mut s = format!("# Invented by a random draw, seed {seed}. No patient.\n");
    let side = r.pick(&["right", "left"]);
    let _ = writeln!(s, "name = \"random-{seed}\"\nside = \"{side}\"\n\n[socket]");
    let _ = writeln!(s, "diameter = {:.2}", r.between(23.0, 30.0));
    if r.chance(0.25) {
        s.push_str("face_radius = \"flat\"\n");
    } else {
        let _ = writeln!(s, "face_radius = {:.1}", r.between(24.0, 40.0));
    }
    let _ = writeln!(s, "\n[fragment]\nwidth = \"{:.1} %\"", r.between(8.0, 45.0));
    let _ = writeln!(s, "middle = {:.2}", r.between(2.5, 5.0));
    let _ = writeln!(s, "depth = {:.2}", r.between(4.0, 15.0));
    let _ = writeln!(s, "tilt = {:.1}", r.between(-15.0, 25.0));
    if r.chance(0.2) {
        let _ = writeln!(s, "length = {:.1}", r.between(10.0, 20.0));
    }
    let normal = r.spread(1.0, 50.0);
    let _ = writeln!(s, "\n[bed]\nfriction = {:.3}", r.between(0.1, 1.0));
    let _ = writeln!(s, "normal_stiffness = {normal:.3}");
    let _ = writeln!(s, "shear_stiffness = {:.3}", normal * r.spread(0.1, 1.0));
    s.push_str("cells = 400\n\n[envelope]\n");
    if r.chance(0.4) {
        s.push_str("shift_stiffness = 0\nturn_stiffness = 0\n");
    } else {
        let _ = writeln!(s, "shift_stiffness = {:.2}", r.spread(0.1, 5.0));
        let _ = writeln!(s, "turn_stiffness = {:.1}", r.spread(10.0, 500.0));
        let rest = r.pick(&["start", "reduced", "displaced"]);
        let _ = writeln!(s, "rest = \"{rest}\"");
    }
    for (name, sign, share) in [("hinge", "-", 0.3), ("continuity", "", 0.2)] {
        if r.chance(share) {
            let _ = writeln!(s, "\n[tether.{name}]");
            let inside = r.between(75.0, 95.0);
            let outside = r.between(104.0, 112.0);
            let _ = writeln!(s, "fragment = {{ rim = {{ along = \"{sign}{inside:.0} %\" }} }}");
            let _ = writeln!(s, "scapula = {{ rim = {{ along = \"{sign}{outside:.0} %\" }} }}");
            let _ = writeln!(s, "stiffness = {:.1}", r.spread(2.0, 60.0));
            let _ = writeln!(s, "slack = {:.2}", r.between(0.0, 2.0));
        }
    }
    if r.chance(0.25) {
        let along = r.between(-60.0, 60.0);
        let _ = writeln!(s, "\n[load.capsule]\nat = {{ rim = {{ along = \"{along:.0} %\" }} }}");
        let _ = writeln!(s, "force = {:.1}", r.between(1.0, 15.0));
        let direction = r.pick(&["inferior", "medial", "anteromedial", "lateral"]);
        let _ = writeln!(s, "direction = \"{direction}\"");
        if r.chance(0.3) {
            s.push_str("when = \"throughout\"\n");
        }
    }
    let _ = writeln!(s, "\n[displaced]\ninferior = {:.2}", r.between(0.0, 5.0));
    let _ = writeln!(s, "medial = {:.2}", r.between(0.0, 3.0));
    let _ = writeln!(s, "out_of_bed = {:.2}", r.between(0.0, 1.5));
    let _ = writeln!(s, "tilt = {:.1}", r.between(-8.0, 8.0));
    let _ = writeln!(s, "spin = {:.1}", r.between(-10.0, 10.0));
    let _ = writeln!(s, "yaw = {:.1}", r.between(-5.0, 5.0));
    s
}

/// Writes anchors and limbs as they come.
struct Writer {
    wild: bool,
    anchors: String,
    limbs: String,
    anchor_count: usize,
    names: Vec<String>,
    /// Medial anchors that later limbs may share: name, percent along the chord, in the crater.
    medial: Vec<(String, f64, bool)>,
    /// Lateral anchors that later limbs may share: name, percent along the chord.
    lateral: Vec<(String, f64)>,
}

fn construct_text(r: &mut Random, wild: bool) -> String {
    let count = 1 + (r.unit() * 8.0) as usize;
    let mut w = Writer {
        wild,
        anchors: String::new(),
        limbs: String::new(),
        anchor_count: 0,
        names: Vec::new(),
        medial: Vec::new(),
        lateral: Vec::new(),
    };
    while w.names.len() < count {
        match r.unit() {
            x if x < 0.4 => w.labral_loop(r),
            x if x < 0.8 => w.bridge(r),
            x if x < 0.9 => w.mattress(r),
            _ => w.pair(r),
        }
    }
    let mut s = String::from("name = \"random\"\n");
    s.push_str(&w.anchors);
    s.push_str(&w.limbs);
    // Screws have a stream of their own, so that a rig without them stays what it was.
    let screws = &mut Random(r.0 ^ 0x5343_5245_5753);
    if screws.chance(0.35) {
        for k in 0..1 + (screws.unit() * 2.0) as usize {
            s.push_str(&screw(screws, k, wild));
            let at = (screws.unit() * (w.names.len() + 1) as f64) as usize;
            w.names.insert(at, format!("screw-{k}"));
        }
    }
    s.push_str("\n[anchor-class.stiff]\nstiffness = \"rigid\"\n\n[tying]\norder = [");
    let mut order = w.names.clone();
    for k in (1..order.len()).rev() {
        order.swap(k, (r.next() % (k as u64 + 1)) as usize);
    }
    let mut rest = order.as_slice();
    while !rest.is_empty() {
        let together = (1 + (r.spread(1.0, 5.0) - 1.0) as usize).min(rest.len());
        let (now, later) = rest.split_at(together);
        let names: Vec<String> = now.iter().map(|n| format!("\"{n}\"")).collect();
        let _ = write!(s, "{{ limbs = [{}]", names.join(", "));
        if r.chance(0.3) {
            let rule = r.pick(&["tension", "reduced"]);
            let _ = write!(s, ", stop = \"{rule}\"");
        }
        if r.chance(0.1) {
            s.push_str(", held = true");
        }
        s.push_str(" }, ");
        rest = later;
    }
    s.push_str("]\n");
    s
}

/// Square to the fracture, or (wild) up to some forty degrees off.
fn screw(r: &mut Random, k: usize, wild: bool) -> String {
    let along = r.between(-55.0, 55.0);
    let below = r.between(2.5, 6.0);
    let mut s = format!("\n[screw.screw-{k}]\nat = {{ wall = {{ along = \"{along:.0} %\", below = {below:.2} }} }}\n");
    if wild {
        let (x, y, z) = (-1.0, r.between(-0.2, 1.0), r.between(-0.6, 0.2));
        let _ = writeln!(s, "direction = [{x:.2}, {y:.2}, {z:.2}]");
    }
    let _ = writeln!(s, "diameter = {:.2}", r.between(2.0, 4.0));
    let _ = writeln!(s, "working_length = {:.1}", r.between(6.0, 25.0));
    let _ = writeln!(s, "modulus = {:.0}", r.spread(3000.0, 200_000.0));
    let _ = writeln!(s, "foundation = {:.1}", r.spread(5.0, 150.0));
    let _ = writeln!(s, "preload = {:.1}", r.spread(5.0, 300.0));
    s
}

impl Writer {
    fn anchor(&mut self, r: &mut Random, place: &str) -> String {
        self.anchor_count += 1;
        let name = format!("a{}", self.anchor_count);
        let class = r.pick(&["all-suture", "hard-body", "all-suture", "hard-body", "stiff"]);
        let _ = writeln!(self.anchors, "\n[anchor.{name}]\nat = {{ {place} }}\nclass = \"{class}\"");
        name
    }

    fn face(&mut self, r: &mut Random, along: f64, inset: (f64, f64)) -> String {
        let inset = r.between(inset.0, inset.1);
        self.anchor(r, &format!("face = {{ along = \"{along:.0} %\", inset = {inset:.2} }}"))
    }

    fn medial(&mut self, r: &mut Random) -> (String, f64, bool) {
        if !self.medial.is_empty() && r.chance(0.5) {
            let k = (r.next() % self.medial.len() as u64) as usize;
            return self.medial[k].clone();
        }
        let along = r.between(-60.0, 60.0);
        let crater = r.chance(0.3);
        let place = if crater {
            let deep = r.between(1.5, 6.0);
            format!("crater = {{ along = \"{along:.0} %\", deep = {deep:.2} }}")
        } else {
            let beyond = r.between(0.5, 4.0);
            format!("neck = {{ along = \"{along:.0} %\", beyond = {beyond:.2} }}")
        };
        let made = (self.anchor(r, &place), along, crater);
        self.medial.push(made.clone());
        made
    }

    fn lateral(&mut self, r: &mut Random, near: f64) -> (String, f64) {
        if !self.lateral.is_empty() && r.chance(0.5) {
            let k = (r.next() % self.lateral.len() as u64) as usize;
            return self.lateral[k].clone();
        }
        let along = if self.wild { r.between(-70.0, 70.0) } else { near + r.between(-25.0, 25.0) };
        let made = (self.face(r, along, (1.5, 4.0)), along);
        self.lateral.push(made.clone());
        made
    }

    /// A place along the chord between two others.
    fn crossing(&self, r: &mut Random, between: (f64, f64)) -> f64 {
        if self.wild {
            r.between(-75.0, 75.0)
        } else {
            let share = r.between(0.3, 0.7);
            between.0 + share * (between.1 - between.0) + r.between(-12.0, 12.0)
        }
    }

    fn rim(&self, r: &mut Random, between: (f64, f64)) -> String {
        if r.chance(0.2) {
            return "\"rim\"".into();
        }
        let along = self.crossing(r, between);
        let locked = if r.chance(0.05) { ", locked = true" } else { "" };
        format!("{{ rim = {{ along = \"{along:.0} %\" }}{locked} }}")
    }

    fn limb(&mut self, r: &mut Random, kind: &str, path: &str, more: &str) {
        let name = format!("{kind}-{}", self.names.len() + 1);
        let strand = r.pick(&["cord", "tape", "polyester"]);
        let _ = writeln!(
            self.limbs,
            "\n[limb.{name}]\npath = [{path}]\nstrand = \"{strand}\"\ntension = {:.1}{more}",
            r.spread(2.0, 100.0)
        );
        if r.chance(0.2) {
            let _ = writeln!(self.limbs, "knot_slack = {:.2}", r.between(0.0, 1.0));
        }
        if r.chance(0.2) {
            let _ = writeln!(self.limbs, "friction = {:.2}", r.between(0.0, 0.5));
        }
        self.names.push(name);
    }

    fn labral_loop(&mut self, r: &mut Random) {
        let along = r.between(-80.0, 80.0);
        let anchor = self.face(r, along, (0.5, 3.0));
        let bite = along + if self.wild { r.between(-25.0, 25.0) } else { 0.0 };
        let below = r.between(if self.wild { 0.5 } else { 2.0 }, 4.0);
        let path =
            format!("\"{anchor}\", {{ bite = {{ along = \"{bite:.0} %\", below = {below:.2} }} }}, \"{anchor}\"");
        self.limb(r, "loop", &path, "");
    }

    fn bridge(&mut self, r: &mut Random) {
        let (medial, from, crater) = self.medial(r);
        let (lateral, to) = self.lateral(r, from);
        let margin = if crater {
            let along = self.crossing(r, (from, from + 0.5 * (to - from)));
            format!("{{ margin = {{ along = \"{along:.0} %\" }} }}, ")
        } else {
            String::new()
        };
        let rim = self.rim(r, (from, to));
        let path = format!("\"{medial}\", {margin}{rim}, \"{lateral}\"");
        self.limb(r, "bridge", &path, "");
    }

    /// An anchor in the neck of its own: its name and place along the chord.
    fn eyelet(&mut self, r: &mut Random) -> (String, f64) {
        let along = r.between(-40.0, 40.0);
        let place = format!("neck = {{ along = \"{along:.0} %\", beyond = 1.0 }}");
        (self.anchor(r, &place), along)
    }

    fn mattress(&mut self, r: &mut Random) {
        let (medial, at) = self.eyelet(r);
        let low = at - r.between(10.0, 40.0);
        let high = at + r.between(10.0, 40.0);
        let lower = self.face(r, low, (1.5, 4.0));
        let upper = self.face(r, high, (1.5, 4.0));
        let (a, b) = (self.rim(r, (low, at)), self.rim(r, (at, high)));
        let path = format!("\"{lower}\", {a}, {{ eyelet = \"{medial}\" }}, {b}, \"{upper}\"");
        self.limb(r, "mattress", &path, "");
    }

    fn pair(&mut self, r: &mut Random) {
        let (medial, at) = self.eyelet(r);
        let to = at + if self.wild { r.between(-40.0, 40.0) } else { r.between(-10.0, 10.0) };
        let lateral = self.face(r, to, (1.5, 4.0));
        let (low, high) = (0.5 * (at + to) - r.between(5.0, 35.0), 0.5 * (at + to) + r.between(5.0, 35.0));
        let path = format!(
            "\"{medial}\", {{ rim = {{ along = \"{low:.0} %\" }} }}, \"{lateral}\", {{ rim = {{ along = \"{high:.0} %\" }} }}"
        );
        self.limb(r, "pair", &path, "\nclosed = true\nfixing = \"knot\"");
    }
}
