//! The one table of every number that a file may give: meaning, unit, default, spread, allowed
//! range, and how each is backed. Validation, defaults, the record of defaults taken and spread
//! studies all read this table and nothing else.

use super::Tag;
use super::case_file::CaseFile;
use super::construct_file::RawAnchor;
use super::forces::RawTether;
use super::path::RawLimb;
use super::screw::RawScrew;
use crate::anatomy::Along;
use serde::Serialize;

/// How a number is looked up in what was read, and put there.
#[derive(Debug)]
pub(super) struct Pair<T> {
    pub get: fn(&T) -> f64,
    pub set: fn(&mut T, f64),
}

impl<T> Clone for Pair<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Pair<T> {}

/// Where a number stands in what was read.
#[derive(Debug, Clone, Copy)]
pub(super) enum Access {
    /// In a place, a path or a class: no number of its own.
    Within,
    /// In a case.
    Case(Pair<CaseFile>),
    /// In a case, which alone says it: no answer moves with it.
    Fixed(Pair<CaseFile>),
    /// In a tether.
    Tether(Pair<RawTether>),
    /// In an anchor, a limb, a screw.
    Anchor(fn(&mut RawAnchor, f64)),
    Limb(fn(&mut RawLimb, f64)),
    Screw(Pair<RawScrew>),
    /// In the settings of either file, under its own path.
    Setting,
}

/// One number that a case or a construct file may give.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct Parameter {
    /// Dotted path in the file; `*` stands for any name, `[…]` for a variant of the same key.
    pub path: &'static str,
    /// What it is in plain words.
    pub meaning: &'static str,
    /// Unit; empty for a pure number.
    pub unit: &'static str,
    /// Low end of the plausible spread.
    pub low: f64,
    /// Value taken when the file is silent; absent when there is none.
    pub default: Option<f64>,
    /// High end of the plausible spread.
    pub high: f64,
    /// Accepted range, both ends included: wider than the spread, still physically sensible.
    pub allowed: (f64, f64),
    /// How the default is backed.
    pub tag: Tag,
    /// Where it comes from.
    pub source: &'static str,
    #[serde(skip)]
    pub(super) access: Access,
}

/// Short row: path, meaning, unit, [low, default, high], (allowed), tag, source, and where it stands.
macro_rules! row {
    ($path:literal, $meaning:literal, $unit:literal, [$low:literal, $default:tt, $high:literal],
     ($min:literal, $max:literal), $tag:ident, $source:literal $(, $($access:tt)+)?) => {
        Parameter {
            path: $path,
            meaning: $meaning,
            unit: $unit,
            low: $low,
            default: row!(@default $default),
            high: $high,
            allowed: ($min, $max),
            tag: Tag::$tag,
            source: $source,
            access: row!(@access $($($access)+)?),
        }
    };
    (@default none) => { None };
    (@default $default:literal) => { Some($default) };
    (@access) => { Access::Within };
    (@access setting) => { Access::Setting };
    (@access case |$c:ident| $get:expr => $set:expr) => { Access::Case(Pair { get: |$c| $get, set: $set }) };
    (@access fixed |$c:ident| $get:expr => $set:expr) => { Access::Fixed(Pair { get: |$c| $get, set: $set }) };
    (@access case $part:ident.$key:ident in degrees) => {
        Access::Case(Pair { get: |c| c.$part.$key.to_degrees(), set: |c, v| c.$part.$key = v.to_radians() })
    };
    (@access case $part:ident.$key:ident) => {
        Access::Case(Pair { get: |c| c.$part.$key, set: |c, v| c.$part.$key = v })
    };
    (@access fixed $part:ident.$key:ident) => {
        Access::Fixed(Pair { get: |c| c.$part.$key, set: |c, v| c.$part.$key = v })
    };
    (@access tether $key:ident) => { Access::Tether(Pair { get: |t| t.$key, set: |t, v| t.$key = v }) };
    (@access screw $key:ident) => { Access::Screw(Pair { get: |s| s.$key, set: |s, v| s.$key = v }) };
    (@access limb $key:ident) => { Access::Limb(|l, v| l.$key = Some(v)) };
    (@access anchor |$a:ident, $v:ident| $set:expr) => { Access::Anchor(|$a, $v| $set) };
}

#[rustfmt::skip]
const TABLE: &[Parameter] = &[
    // Socket and fragment.
    row!("socket.diameter", "diameter of the best-fit circle of the inferior socket", "mm", [23.0, none, 30.0], (15.0, 45.0), Seen, "CT, n = 1072: 26.06 ± 3.27 mm; a true circle in all 90 pairs, Surg Radiol Anat 2009;31:623", case socket.diameter),
    row!("socket.face_radius", "radius of curvature of the face", "mm", [24.0, 30.0, 35.0], (8.0, 1000.0), Derived, "26.3, head 24 and 2.3 more, J Bone Joint Surg Am 1992;74:491; 31.0, half of 62.0, J Shoulder Elbow Surg 2016", case |c| c.socket.face_radius.unwrap_or(f64::NAN) => |c, v| c.socket.face_radius = Some(v)),
    row!("socket.height", "height of the whole socket (drawn only)", "mm", [33.0, 36.5, 41.0], (15.0, 70.0), Seen, "three anatomical series", fixed socket.height),
    row!("fragment.width", "width of the fragment from rim to fracture line", "mm", [4.0, none, 10.0], (0.5, 22.0), Seen, "mean 6.5 mm in 239 acute CTs, 10.1016/j.jisako.2025.101001", case |c| c.width() => |c, v| c.shape.width = Along::Mm(v)),
    row!("fragment.width[percent]", "width of the fragment as a share of the circle's diameter", "%", [15.0, none, 38.0], (1.0, 50.0), Seen, "mean 21.8 % of width in 239 acute CTs, 10.1016/j.jisako.2025.101001"),
    row!("fragment.middle", "clock position of the fragment's middle, 3 anterior on either side", "h", [3.5, none, 4.5], (0.5, 5.5), Assumed, "anterior rim: 3 is anterior on either side, 6 inferior", case shape.middle),
    row!("fragment.depth", "medial depth of the fragment at mid-chord", "mm", [6.0, 10.0, 15.0], (1.0, 30.0), Assumed, "placeholder", case shape.depth),
    row!("fragment.tilt", "tilt of the fracture plane, positive running outward as it goes medially", "°", [0.0, 10.0, 20.0], (-40.0, 40.0), Assumed, "placeholder", case shape.tilt),
    row!("fragment.length", "superoinferior length that cuts the ends off", "mm", [12.0, none, 30.0], (2.0, 45.0), Assumed, "the whole chord when not given", case |c| c.shape.length.unwrap_or(f64::NAN) => |c, v| c.shape.length = Some(v)),
    // Bed.
    row!("bed.friction", "friction coefficient of bone on bone, without asperities", "", [0.3, 0.46, 0.6], (0.0, 1.5), Memory, "about 0.46 without asperities, sawn human long bone, probably Surf Technol 1985;25:167", case bed.friction),
    row!("bed.normal_stiffness", "normal stiffness of the bed", "MPa/mm", [2.0, 10.0, 30.0], (0.1, 200.0), Derived, "modulus over height, 144 ± 22 MPa transverse over about 10 mm, ASME IMECE 2003", case bed.normal_stiffness),
    row!("bed.shear_stiffness", "shear stiffness of the bed", "MPa/mm", [0.4, 3.0, 10.0], (0.05, 200.0), Derived, "50–400 µm of slip before full friction on porous metal", case bed.shear_stiffness),
    row!("bed.crush_strength", "pressure that bone of the bed cannot pass: it crushes", "MPa", [5.0, 10.0, 17.0], (0.5, 300.0), Memory, "J Biomech 1999;32:1091", case bed.crush_strength),
    row!("bed.asperity_angle", "angle at which mated fracture surfaces ride up on each other", "°", [8.0, 15.0, 26.0], (0.0, 45.0), Derived, "Barton's law with JRC 10 at 0.3–0.6 MPa, from memory; fresh 15°, sawn 5° (0–10°); no measurement on bone was found", case bed.asperity_angle),
    row!("bed.asperity_height", "height of the asperities of the fracture surface", "mm", [0.3, 0.7, 1.5], (0.05, 5.0), Assumed, "trabecular spacing 0.5–1 mm, from memory", case bed.asperity_height),
    row!("bed.asperity_rounding", "sliding over which the hollows of the asperities are round", "mm", [0.05, 0.1, 0.2], (0.01, 1.0), Assumed, "placeholder", case bed.asperity_rounding),
    row!("bed.edge_width", "width of the broken edge over which support fades", "mm", [0.2, 0.5, 1.0], (0.05, 3.0), Assumed, "placeholder", case bed.edge_width),
    row!("bed.cells", "number of bed cells aimed at", "", [400.0, 600.0, 2000.0], (100.0, 20000.0), Practice, "numerical choice: bed results converge", fixed |c| c.bed.cells as f64 => |c, v| c.bed.cells = v as usize),
    // Soft tissue and loads.
    row!("envelope.shift_stiffness", "translational stiffness of the soft tissue still attached", "N/mm", [0.0, 1.0, 5.0], (0.0, 200.0), Assumed, "placeholder", case envelope.shift_stiffness),
    row!("envelope.turn_stiffness", "rotational stiffness of the soft tissue still attached", "N·mm/rad", [0.0, 100.0, 500.0], (0.0, 50000.0), Assumed, "placeholder", case envelope.turn_stiffness),
    row!("tether.*.stiffness", "stiffness of a hinge or labral tether", "N/mm", [5.0, 20.0, 60.0], (0.1, 500.0), Assumed, "upper bound from capsule strength 5.5 MPa, 2.79 mm thick, J Orthop Res 1992;10:187", tether stiffness),
    row!("tether.*.slack", "slack of a hinge or labral tether", "mm", [0.0, 0.5, 2.0], (0.0, 20.0), Assumed, "placeholder", tether slack),
    row!("load.*.force", "force on the fragment", "N", [5.0, none, 25.0], (-500.0, 500.0), Assumed, "bench studies cycle 5–25 N; the share on the fragment is assumed"),
    row!("load.*.force[magnitude]", "magnitude of a force on the fragment", "N", [5.0, none, 25.0], (0.0, 500.0), Assumed, "bench studies cycle 5–25 N; the share on the fragment is assumed"),
    // Displaced pose.
    row!("displaced.inferior", "inferior displacement along the chord", "mm", [0.0, 3.0, 8.0], (-20.0, 20.0), Assumed, "invented within 4 ± 3 mm, Arch Orthop Trauma Surg 2022;142:2727", case displaced.inferior),
    row!("displaced.medial", "medial displacement down the fracture plane", "mm", [0.0, 2.0, 6.0], (-20.0, 20.0), Assumed, "invented within 4 ± 3 mm, Arch Orthop Trauma Surg 2022;142:2727", case displaced.medial),
    row!("displaced.out_of_bed", "displacement out of the bed, along its normal", "mm", [0.0, 0.5, 3.0], (-2.0, 20.0), Assumed, "invented", case displaced.out_of_bed),
    row!("displaced.tilt", "turn about the chord, positive sitting up", "°", [0.0, 0.0, 15.0], (-60.0, 60.0), Assumed, "invented", case displaced.tilt in degrees),
    row!("displaced.spin", "turn about the bed's normal", "°", [0.0, 5.0, 15.0], (-60.0, 60.0), Assumed, "invented", case displaced.spin in degrees),
    row!("displaced.yaw", "turn about the direction down the plane", "°", [0.0, 0.0, 15.0], (-60.0, 60.0), Assumed, "invented", case displaced.yaw in degrees),
    // Seating and placing.
    row!("seat.length", "length below which a limb segment seats on bone", "mm", [0.5, 1.0, 2.0], (0.1, 5.0), Assumed, "placeholder", case seat.length),
    row!("seat.stiffness", "stiffness of a seated segment", "N/mm", [100.0, 200.0, 500.0], (10.0, 5000.0), Assumed, "placeholder", case seat.stiffness),
    row!("anchors.least_spacing", "least anchor spacing, warned about below it", "mm", [5.0, 6.0, 10.0], (0.0, 20.0), Seen, "4 mm worse, 6–10 mm equal, Arthroscopy 2018", fixed anchors.least_spacing),
    row!("anchors.least_rim_distance", "least distance of a face anchor from the rim edge, warned about below it", "mm", [2.0, 3.0, 5.0], (0.0, 15.0), Seen, "holes 2 mm from the rim carry the highest predicted risk, J Biomech Eng 2019;141:101003", fixed anchors.least_rim_distance),
    row!("anchors.least_fracture_distance", "least distance of a face anchor from the fracture edge, warned about below it", "mm", [0.25, 0.5, 2.0], (0.0, 10.0), Assumed, "placeholder: half the least usual inset", fixed anchors.least_fracture_distance),
    row!("anchors.pull_out", "travel over which an anchor that pulls out loses its strength", "mm", [2.0, 5.0, 10.0], (0.1, 30.0), Assumed, "placeholder", case anchors.pull_out),
    // Settling.
    row!("settling.bite_kept", "share of its force that a labral bite keeps after minutes", "", [0.5, 0.6, 0.8], (0.05, 1.0), Derived, "tendon graft at fixed length 80 to 40 N in 5 min, Am J Sports Med 2009;37:334; 0.67 at 10 min of ligament, from memory", case settling.bite_kept),
    row!("settling.strand_kept", "share of its tension that a strand itself keeps after minutes", "", [0.9, 0.95, 1.0], (0.05, 1.0), Assumed, "placeholder", case settling.strand_kept),
    row!("settling.bite_set", "set of a labral bite in its first cycle to 20 N", "mm", [0.2, 0.5, 1.0], (0.0, 5.0), Derived, "half of the first-cycle motion 0.93–1.64 mm, J Exp Orthop 2024;11:e12110", case settling.bite_set),
    row!("settling.set_growth", "growth of a set with each tenfold of cycles, as a share of the first", "", [0.3, 0.6, 1.0], (0.0, 5.0), Derived, "0.63–0.82 mm a decade on 0.9–1.6 mm, J Exp Orthop 2024;11:e12110", case settling.set_growth),
    row!("settling.knot_growth", "growth of a knotted loop with each tenfold of cycles", "mm", [0.05, 0.2, 0.4], (0.0, 5.0), Derived, "under 0.45 mm in 1,000 cycles of 6–30 N, most in the first 50", case settling.knot_growth),
    row!("settling.clamp_growth", "slip of a knotless clamp with each tenfold of cycles", "mm", [0.0, 0.1, 0.5], (0.0, 5.0), Derived, "scaled from 1.9 ± 0.5 mm after 500 higher cycles", case settling.clamp_growth),
    row!("settling.low", "least load of a cycle", "N", [0.0, 5.0, 10.0], (0.0, 500.0), Seen, "bench studies cycle 5–25 N", case settling.low),
    row!("settling.high", "largest load of a cycle", "N", [10.0, 25.0, 50.0], (0.0, 500.0), Seen, "bench studies cycle 5–25 N", case settling.high),
    row!("settling.cycles", "number of cycles", "", [0.0, 10.0, 1000.0], (0.0, 100000.0), Seen, "ten cycles before a bench test, 10.1177/0363546514532782", fixed settling.cycles),
    row!("phase.*.low", "least load of a cycle of a phase of rehabilitation", "N", [0.0, 5.0, 10.0], (0.0, 500.0), Seen, "bench studies cycle 5–25 N"),
    row!("phase.*.high", "largest load of a cycle of a phase", "N", [5.0, none, 50.0], (0.0, 500.0), Given, "an arm weighs 26–50 N, Plagenhoef 1983, de Leva 1996"),
    row!("phase.*.cycles", "cycles of a phase", "", [10.0, none, 10000.0], (1.0, 100000.0), Given, "no default"),
    // The joint.
    row!("joint.head_radius", "radius of the humeral head (for `joint` alone)", "mm", [22.0, 24.0, 26.0], (10.0, 40.0), Seen, "24 ± 2.1 mm in 140 shoulders, J Bone Joint Surg Am 1992;74:491", fixed joint.head_radius),
    row!("joint.compression", "force that presses the head on the socket (for `joint` alone)", "N", [25.0, 50.0, 100.0], (1.0, 1000.0), Seen, "50 N in a bench test, Am J Sports Med 2009;37:949", fixed joint.compression),
    row!("joint.cartilage_modulus", "confined modulus of cartilage (for `joint` alone)", "MPa", [0.5, 19.0, 45.0], (0.05, 1000.0), Assumed, "Young's modulus 5 MPa (4–12) at Poisson's ratio 0.45, as joint models on an elastic layer take it, from memory; 0.5 MPa drained, after long rest", fixed joint.cartilage_modulus),
    row!("joint.cartilage_thickness", "thickness of cartilage (for `joint` alone)", "mm", [1.5, 2.0, 3.0], (0.2, 10.0), Assumed, "about 2 mm of glenoid cartilage, from memory", fixed joint.cartilage_thickness),
    // Strand on bone and labrum, bites, knots and clamps.
    row!("friction.rim", "friction coefficient of a strand over rim cartilage", "", [0.03, 0.1, 0.2], (0.0, 1.5), Seen, "sutures 0.054–0.130, PMC2796445", setting),
    row!("friction.labrum", "friction coefficient of a strand through labrum", "", [0.03, 0.1, 0.2], (0.0, 1.5), Seen, "sutures 0.054–0.130, PMC2796445", setting),
    row!("friction.bone", "friction coefficient of a strand over a bone edge", "", [0.05, 0.1, 0.3], (0.0, 1.5), Assumed, "placeholder, 0.05–0.30", setting),
    row!("friction.eyelet", "friction coefficient of a strand through an anchor's eyelet", "", [0.03, 0.1, 0.2], (0.0, 1.5), Assumed, "placeholder", setting),
    row!("bite.stiffness", "toe stiffness of a labral bite", "N/mm", [2.0, 4.0, 8.0], (0.5, 1000.0), Derived, "7.7 N/mm of a whole single row at 10 N over two loops, 10.1177/0363546514532782", setting),
    row!("bite.stiffening", "by how much a labral bite stiffens with each newton over its toe", "1/mm", [0.2, 0.4, 0.6], (0.0, 3.0), Derived, "10 N/mm at 15 N, meniscus 7.8–10.4 N/mm a stitch, J Exp Orthop 2024;11:e12110, and 24 N/mm at 50 N, meniscal root 34.7 ± 10.2, 10.1016/j.asmr.2022.01.001", setting),
    row!("bite.strength", "force at which a labral bite begins to cut out", "N", [35.0, 60.0, 95.0], (1.0, 1000.0), Derived, "three-anchor human repair 184 ± 64.5 N, Am J Sports Med 2010; one stitch 75–96 N canine, 10.1016/0749-8063(95)90195-7", setting),
    row!("bite.cut_out", "travel over which a bite that tears loses its strength", "mm", [2.0, 4.0, 8.0], (0.1, 20.0), Assumed, "placeholder", setting),
    row!("bite.below", "height of a labral bite below the rim", "mm", [1.0, 3.0, 5.0], (0.0, 15.0), Practice, "common practice, no source", setting),
    row!("knot.tension", "tension of a limb tied by hand", "N", [10.0, 25.0, 50.0], (0.1, 150.0), Assumed, "28.5 ± 23.1 N tendon tension in patients, AJSM 2016;44:2807, is near", setting),
    row!("knot.slack", "growth of a knotted loop as it is locked", "mm", [0.1, 0.4, 1.0], (0.0, 5.0), Seen, "0.4–0.5 ± 0.3 mm at 5 N, 10.1177/23259671211045411", setting),
    row!("knot.limit", "load of a knot at 3 mm", "N", [60.0, 140.0, 250.0], (5.0, 1000.0), Seen, "139 N (16–328), 73 surgeons, 365 knots, Hanypsiak et al.", setting),
    row!("clamp.tension", "tension of a knotless limb", "N", [20.0, 50.0, 80.0], (0.1, 150.0), Seen, "50 N lateral step, J Orthop Surg Res 2022;17:350", setting),
    row!("clamp.slack", "growth of a knotless limb as it is locked", "mm", [0.0, 0.0, 0.5], (0.0, 5.0), Assumed, "placeholder: a clamp gives nothing back", setting),
    row!("clamp.limit", "load at which a knotless clamp slips", "N", [66.0, 88.0, 109.0], (5.0, 1000.0), Derived, "middle of 66–109 N, 10.1016/j.arthro.2012.04.150", setting),
    // Strand classes.
    row!("strand.cord.rigidity", "axial rigidity EA of USP 2 UHMWPE-core cord", "N", [600.0, 2000.0, 4000.0], (20.0, 100000.0), Derived, "loops of 25 N/mm, 10.1016/j.asmr.2021.01.029, and about 5 % elongation at failure"),
    row!("strand.cord.width", "diameter of USP 2 cord (drawn only)", "mm", [0.5, 0.55, 0.599], (0.05, 8.0), Seen, "USP 861, size 2 is metric 5"),
    row!("strand.polyester.rigidity", "axial rigidity EA of USP 2 braided polyester", "N", [300.0, 700.0, 1200.0], (20.0, 100000.0), Derived, "tied loop 142–148 N, 10.1016/j.arthro.2006.04.075"),
    row!("strand.polyester.width", "diameter of USP 2 polyester (drawn only)", "mm", [0.5, 0.55, 0.599], (0.05, 8.0), Seen, "USP 861, size 2 is metric 5"),
    row!("strand.tape.rigidity", "axial rigidity EA of 2 mm UHMWPE tape", "N", [1150.0, 3500.0, 6000.0], (20.0, 100000.0), Derived, "tape loops 46 against cord 25 N/mm, 10.1016/j.asmr.2021.01.029"),
    row!("strand.tape.width", "width of the tape (drawn only)", "mm", [1.0, 2.0, 2.5], (0.05, 8.0), Derived, "its nominal size"),
    row!("strand.*.rigidity", "axial rigidity EA of a strand class", "N", [300.0, none, 6000.0], (20.0, 100000.0), Given, "to be given for a class of one's own"),
    row!("strand.*.width", "diameter or width of a strand class (drawn only)", "mm", [0.5, 0.55, 2.5], (0.05, 8.0), Assumed, "drawn as a USP 2 cord when not given"),
    row!("strand.*.strength", "strength of a strand class", "N", [100.0, none, 400.0], (1.0, 5000.0), Given, "no limit when not given"),
    // Anchor classes.
    row!("anchor-class.all-suture.stiffness", "seat stiffness of an all-suture anchor", "N/mm", [15.0, 30.0, 45.0], (0.5, 10000.0), Derived, "cyclic motion 1.40 ± 0.97 mm over 10–60 N, Ruder, Arthroscopy 2019"),
    row!("anchor-class.all-suture.holding", "holding load of an all-suture anchor at the rim", "N", [90.0, 185.0, 256.0], (1.0, 5000.0), Seen, "143–191 N, human glenoid, Ruder, Arthroscopy 2019"),
    row!("anchor-class.hard-body.stiffness", "seat stiffness of a hard-body anchor", "N/mm", [40.0, 75.0, 100.0], (0.5, 10000.0), Derived, "74 N/mm seen; cyclic motion over 10–60 N, Ruder, Arthroscopy 2019"),
    row!("anchor-class.hard-body.holding", "holding load of a hard-body anchor at the rim", "N", [90.0, 140.0, 270.0], (1.0, 5000.0), Seen, "125 ± 40 N, Shoulder Elbow 2009;1:31; 143–191 N, Ruder, Arthroscopy 2019"),
    row!("anchor-class.all-suture.set", "set of an all-suture anchor in its first cycle to 25 N", "mm", [0.1, 0.31, 0.8], (0.0, 5.0), Assumed, "0.5 mm (0.2–1.3) in ten cycles, scaled from 1.40 ± 0.97 mm at 100 cycles of 10–60 N, Ruder, Arthroscopy 2019"),
    row!("anchor-class.hard-body.set", "set of a hard-body anchor in its first cycle to 25 N", "mm", [0.03, 0.09, 0.25], (0.0, 5.0), Assumed, "0.15 mm (0.05–0.4) in ten cycles, scaled from Ruder, Arthroscopy 2019"),
    row!("anchor-class.*.set", "set of an anchor class in its first cycle to 25 N", "mm", [0.03, none, 0.8], (0.0, 5.0), Given, "none when not given"),
    row!("anchor-class.*.stiffness", "seat stiffness of an anchor class", "N/mm", [15.0, none, 100.0], (0.5, 10000.0), Given, "a number, or \"rigid\""),
    row!("anchor-class.*.holding", "holding load of an anchor class", "N", [90.0, none, 270.0], (1.0, 5000.0), Given, "no limit when not given"),
    // The hole of an anchor.
    row!("anchor-class.all-suture.diameter", "diameter of the hole of an all-suture anchor", "mm", [1.4, 1.8, 2.9], (0.5, 8.0), Assumed, "placeholder"),
    row!("anchor-class.all-suture.depth", "depth of the hole of an all-suture anchor", "mm", [15.0, 18.0, 24.0], (2.0, 40.0), Assumed, "placeholder"),
    row!("anchor-class.hard-body.diameter", "diameter of the hole of a hard-body anchor", "mm", [2.4, 2.9, 3.5], (0.5, 8.0), Assumed, "placeholder"),
    row!("anchor-class.hard-body.depth", "depth of the hole of a hard-body anchor", "mm", [11.0, 15.0, 18.0], (2.0, 40.0), Assumed, "placeholder"),
    row!("anchor-class.*.diameter", "diameter of the hole of an anchor class", "mm", [1.4, 2.9, 3.5], (0.5, 8.0), Assumed, "placeholder: that of a hard body"),
    row!("anchor-class.*.depth", "depth of the hole of an anchor class", "mm", [11.0, 15.0, 24.0], (2.0, 40.0), Assumed, "placeholder: that of a hard body"),
    // What one anchor or limb says for itself.
    row!("anchor.*.stiffness", "seat stiffness of one anchor", "N/mm", [15.0, none, 100.0], (0.5, 10000.0), Given, "its class's when not given", anchor |a, v| a.stiffness = Some(Some(v))),
    row!("anchor.*.holding", "holding load of one anchor", "N", [90.0, none, 270.0], (1.0, 5000.0), Given, "its class's when not given", anchor |a, v| a.holding = Some(v)),
    row!("anchor.*.diameter", "diameter of the hole of one anchor", "mm", [1.4, none, 3.5], (0.5, 8.0), Given, "its class's when not given"),
    row!("anchor.*.depth", "depth of the hole of one anchor", "mm", [11.0, none, 24.0], (2.0, 40.0), Given, "its class's when not given"),
    row!("anchor.*.axis", "component of the direction of an anchor's hole, into the bone", "", [-1.0, none, 1.0], (-1000.0, 1000.0), Given, "x anterior, y superior, z lateral; any length; along the guide that comes nearest to square when not given"),
    row!("anchor.*.along_error", "how far an anchor lands from its place along the fracture line, positive superior", "mm", [-2.0, 0.0, 2.0], (-10.0, 10.0), Assumed, "placeholder: an anchor lands a millimetre off", anchor |a, v| a.error[0] = v),
    row!("anchor.*.across_error", "how far an anchor lands from its place across the fracture line, positive away from it", "mm", [-1.0, 0.0, 1.0], (-10.0, 10.0), Assumed, "placeholder: an anchor lands a millimetre off", anchor |a, v| a.error[1] = v),
    row!("limb.*.tension", "tension of one limb", "N", [10.0, none, 80.0], (0.1, 150.0), Given, "that of a knot or clamp when not given", limb tension),
    row!("limb.*.knot_slack", "growth of one limb as it is locked", "mm", [0.0, none, 1.0], (0.0, 5.0), Given, "that of a knot or clamp when not given", limb knot_slack),
    row!("limb.*.knot_limit", "load of one limb's knot or clamp", "N", [60.0, none, 250.0], (5.0, 1000.0), Given, "that of a knot or clamp when not given", limb knot_limit),
    // Screws.
    row!("screw.*.diameter", "outer diameter of a screw", "mm", [2.0, 2.7, 4.0], (1.0, 7.0), Practice, "common practice, no source", screw diameter),
    row!("screw.*.core", "core diameter of a screw", "mm", [1.3, none, 2.9], (0.5, 6.5), Memory, "0.7 of the diameter when not given: 1.9 of 2.7 and 2.4 of 3.5 mm, ISO 5835, from memory"),
    row!("screw.*.head", "diameter of a screw's head", "mm", [4.0, 5.0, 6.0], (1.5, 12.0), Memory, "5.0 mm on a 2.7 mm screw, ISO 5835, from memory", screw head),
    row!("screw.*.modulus", "Young's modulus of a screw", "MPa", [100000.0, 110000.0, 200000.0], (1000.0, 250000.0), Memory, "titanium alloy about 110 GPa, stainless steel about 190 GPa, from memory", screw modulus),
    row!("screw.*.working_length", "length of a screw beyond the fracture plane", "mm", [10.0, 16.0, 25.0], (3.0, 60.0), Assumed, "placeholder", screw working_length),
    row!("screw.*.foundation", "foundation modulus of the bone about a screw", "MPa/mm", [15.0, 40.0, 90.0], (1.0, 1000.0), Derived, "0.65 E/(1 - ν²) over the diameter (Vesić 1961, from memory), modulus 144 to 326 MPa, ASME IMECE 2003", screw foundation),
    row!("screw.*.preload", "pull of a screw's head when it is locked", "N", [30.0, 100.0, 300.0], (1.0, 2000.0), Assumed, "placeholder", screw preload),
    row!("screw.*.direction", "component of a screw's direction", "", [-1.0, none, 1.0], (-1000.0, 1000.0), Given, "x anterior, y superior, z lateral; any length"),
    // Portals, and what drilling must leave.
    row!("portal.anterior-inferior.clock", "clock position of the anteroinferior portal", "h", [4.0, 4.5, 5.5], (0.0, 12.0), Assumed, "placeholder: 3 is anterior on either side"),
    row!("portal.anterior-inferior.elevation", "elevation of the anteroinferior portal above the plane of the face", "°", [15.0, 30.0, 45.0], (-30.0, 90.0), Assumed, "placeholder"),
    row!("portal.anterior-superior.clock", "clock position of the anterosuperior portal", "h", [1.0, 1.5, 2.5], (0.0, 12.0), Assumed, "placeholder: 3 is anterior on either side"),
    row!("portal.anterior-superior.elevation", "elevation of the anterosuperior portal above the plane of the face", "°", [30.0, 45.0, 60.0], (-30.0, 90.0), Assumed, "placeholder"),
    row!("portal.posterior.clock", "clock position of the posterior portal", "h", [8.5, 9.0, 10.0], (0.0, 12.0), Assumed, "placeholder: 3 is anterior on either side"),
    row!("portal.posterior.elevation", "elevation of the posterior portal above the plane of the face", "°", [15.0, 30.0, 45.0], (-30.0, 90.0), Assumed, "placeholder"),
    row!("portal.posterior-inferior.clock", "clock position of the posteroinferior portal", "h", [7.0, 7.5, 8.0], (0.0, 12.0), Assumed, "placeholder: 3 is anterior on either side"),
    row!("portal.posterior-inferior.elevation", "elevation of the posteroinferior portal above the plane of the face", "°", [15.0, 30.0, 45.0], (-30.0, 90.0), Assumed, "placeholder"),
    row!("portal.*.clock", "clock position of a portal", "h", [0.0, none, 12.0], (0.0, 12.0), Given, "3 is anterior on either side, 6 inferior"),
    row!("portal.*.elevation", "elevation of a portal above the plane of the face, toward lateral", "°", [0.0, none, 60.0], (-30.0, 90.0), Given, "to be given for a portal of one's own"),
    row!("portal.*.half_angle", "half angle of the cone in which a guide through a portal can point", "°", [15.0, 25.0, 35.0], (0.0, 90.0), Assumed, "placeholder"),
    row!("portal.*.turn", "angle by which a curved guide turns beyond that; none for a straight one", "°", [0.0, 0.0, 25.0], (0.0, 60.0), Assumed, "a straight guide when not given"),
    row!("drill.bridge", "least bone between two tunnels", "mm", [1.0, 3.0, 5.0], (0.0, 20.0), Practice, "common practice, no source"),
    row!("drill.to_face", "least bone between a tunnel and the face of the joint", "mm", [1.0, 2.0, 4.0], (0.0, 15.0), Practice, "common practice, no source"),
    row!("drill.to_rim", "least bone between a tunnel and the intact rim", "mm", [1.0, 2.0, 4.0], (0.0, 15.0), Practice, "common practice, no source"),
    row!("drill.to_bed", "least bone between a tunnel and the fracture bed", "mm", [0.25, 0.5, 2.0], (0.0, 15.0), Assumed, "placeholder"),
    row!("drill.to_wall", "least bone between a tunnel and the neck wall, the far cortex", "mm", [0.5, 1.0, 3.0], (0.0, 15.0), Assumed, "placeholder"),
    row!("drill.lean", "most by which a tunnel may lean from square to the bone that it enters", "°", [45.0, 60.0, 70.0], (0.0, 89.0), Practice, "common practice, no source: flatter, a drill slides off"),
    // Search for places.
    row!("place.bound", "end of the range of a free variable, in its own unit", "", [-11.0, none, 11.0], (-1000.0, 1000.0), Given, "the usual range of the variable when not given"),
    row!("place.bound[percent]", "end of the range of a free variable as a share of the half chord", "%", [-100.0, none, 100.0], (-200.0, 200.0), Given, "for `along` only"),
    row!("place.limits.spacing", "least distance of two anchors of which one is free", "mm", [5.0, none, 10.0], (0.0, 20.0), Given, "the case's anchors.least_spacing when not given"),
    row!("place.limits.rim_distance", "least distance of a free face anchor from the rim edge", "mm", [2.0, none, 5.0], (0.0, 15.0), Given, "the case's anchors.least_rim_distance when not given"),
    row!("place.limits.fracture_distance", "least distance of a free face anchor from the fracture edge", "mm", [0.25, none, 2.0], (0.0, 10.0), Given, "the case's anchors.least_fracture_distance when not given"),
    row!("place.limits.cartilage", "most intact cartilage that one limb may cross", "mm", [4.0, 6.0, 10.0], (0.0, 60.0), Assumed, "placeholder"),
    row!("place.limits.peak_pressure", "largest pressure of the bed", "MPa", [5.0, none, 17.0], (0.1, 300.0), Given, "the case's bed.crush_strength when not given"),
    row!("place.limits.used", "share of the knot, strand or anchor limit that may be used", "", [0.5, 1.0, 1.0], (0.01, 10.0), Practice, "the limit itself"),
    row!("place.reach.*.half_angle", "half angle of the cone in which an instrument through a portal must meet the bone", "°", [20.0, none, 60.0], (1.0, 90.0), Given, "no limit of reach when not given"),
    // Places.
    row!("along", "position along the chord from its middle, positive superior", "mm", [-11.0, none, 11.0], (-25.0, 25.0), Given, "mm, or percent of the half chord"),
    row!("along[percent]", "position along the chord as a share of the half chord, positive superior", "%", [-100.0, none, 100.0], (-200.0, 200.0), Given, "mm, or percent of the half chord"),
    row!("inset", "distance from the fracture line toward the centre of the socket", "mm", [0.5, none, 4.0], (0.0, 20.0), Practice, "1–2 mm for labral anchors, 1–4 mm for lateral ones: common practice, no source"),
    row!("inset[rim]", "distance from the rim toward the centre of the socket", "mm", [0.0, none, 10.0], (0.0, 22.0), Given, ""),
    row!("below", "distance medial to the rim", "mm", [1.0, none, 5.0], (0.0, 20.0), Given, ""),
    row!("beyond", "distance medial to the fragment's exit", "mm", [0.0, none, 4.0], (0.0, 20.0), Practice, "common practice, no source"),
    row!("deep", "distance medial to the face on the fracture bed", "mm", [2.0, none, 8.0], (-5.0, 30.0), Practice, "common practice, no source"),
    row!("hours", "clock position", "h", [0.0, none, 12.0], (0.0, 12.0), Given, "3 is anterior on either side, 6 inferior"),
    row!("point", "socket coordinate", "mm", [-30.0, none, 30.0], (-60.0, 60.0), Given, "x anterior, y superior, z lateral"),
];

/// The whole table, in the order of the files.
pub fn parameters() -> &'static [Parameter] {
    TABLE
}

/// The row of a dotted path: an exact one, otherwise the one whose `*` stands for a name.
pub fn parameter(path: &str) -> Option<&'static Parameter> {
    TABLE.iter().find(|p| p.path == path).or_else(|| {
        TABLE.iter().find(|p| {
            p.path.split_once('*').is_some_and(|(head, tail)| {
                path.len() > head.len() + tail.len() && path.starts_with(head) && path.ends_with(tail)
            })
        })
    })
}

/// The row of a path that this crate itself names; an absent one is a defect that any test of
/// reading would meet.
pub(super) fn row(path: &str) -> &'static Parameter {
    parameter(path).unwrap_or_else(|| unreachable!("no parameter {path}"))
}

/// The rows of a table of the files, in their order.
pub(super) fn rows_of(table: &str) -> impl Iterator<Item = &'static Parameter> {
    TABLE.iter().filter(move |row| {
        row.path.strip_prefix(table).and_then(|k| k.strip_prefix('.')).is_some_and(|k| !k.contains(['.', '[']))
    })
}

impl Parameter {
    /// The last part of its path: the key in its table.
    pub(super) fn key(&self) -> &'static str {
        self.path.rsplit('.').next().unwrap_or_default()
    }

    /// Whether a value is finite and in the accepted range.
    pub fn accepts(&self, value: f64) -> bool {
        value.is_finite() && value >= self.allowed.0 && value <= self.allowed.1
    }

    /// Whether only whole numbers have a meaning.
    pub fn is_whole(&self) -> bool {
        self.path == "bed.cells" || self.key() == "cycles"
    }

    /// The accepted range in words, e.g. `0 to 1.5` or `15 to 45 mm`.
    pub fn range(&self) -> String {
        format!("{} to {}{}", self.allowed.0, self.allowed.1, spaced(self.unit))
    }

    /// What it is and what is usual.
    pub fn spread(&self) -> String {
        format!("{}, usually {} to {}{}", self.meaning, self.low, self.high, spaced(self.unit))
    }

    /// What it is, what is usual and what is taken when nothing is said, in one sentence.
    pub fn about(&self) -> String {
        let mut text = self.spread();
        if let Some(default) = self.default {
            text.push_str(&format!("; {default} when not given"));
        }
        text
    }
}

/// A unit with a space before it, nothing for a pure number.
fn spaced(unit: &str) -> String {
    if unit.is_empty() { String::new() } else { format!(" {unit}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_in_order_and_unique() {
        for (k, p) in TABLE.iter().enumerate() {
            assert!(p.low <= p.high, "{}", p.path);
            assert!(p.accepts(p.low) && p.accepts(p.high), "{}", p.path);
            if let Some(d) = p.default {
                assert!(p.low <= d && d <= p.high, "{}", p.path);
            }
            assert!(TABLE[..k].iter().all(|q| q.path != p.path), "{}", p.path);
        }
    }

    #[test]
    fn a_name_fits_its_wildcard_and_an_exact_row_comes_first() {
        assert_eq!(parameter("strand.mine.rigidity").unwrap().path, "strand.*.rigidity");
        assert_eq!(parameter("strand.cord.rigidity").unwrap().path, "strand.cord.rigidity");
        assert!(parameter("strand..rigidity").is_none());
        assert!(parameter("nothing").is_none());
    }
}
