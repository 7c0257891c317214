//! The constraints: each has a value, a limit, and whom it concerns.

use super::super::result::Kept;
use crate::model::place::{Cone, Limits, PlaceTable};
use crate::model::{Case, THROUGH, Tag, parameter};
use crate::study::drill::{Ask, Row};

/// A constraint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// Two anchors, one of which is free, keep their distance.
    Spacing,
    /// A free face anchor keeps off the rim edge.
    RimDistance,
    /// A free face anchor keeps off the fracture edge.
    FractureDistance,
    /// The hole of a free anchor leaves bone on all sides.
    Bone,
    /// No limb runs through the fragment's bone.
    ThroughBone,
    /// An instrument through its portal reaches each anchor.
    Reach,
    /// No limb crosses too much intact cartilage when tied.
    Cartilage,
    /// No limb is above its knot's, clamp's or strand's limit.
    Tension,
    /// No anchor is above its holding load.
    Holding,
    /// The bed is not crushed.
    Pressure,
    /// What limbs and screws pull with together stays in the friction cone when tied.
    Cone,
}

/// Violation (share of a limit) in the geometry above which nothing is tied and pushed: an answer is
/// nowhere near.
pub(super) const FAR: f64 = 0.1;
/// Share of a limit left below which a constraint is called active: what 0.03 mm are to 6 mm.
pub const ACTIVE: f64 = 0.005;

impl Rule {
    /// All of them, those of geometry first.
    pub const ALL: [Self; 11] = [
        Self::Spacing,
        Self::RimDistance,
        Self::FractureDistance,
        Self::Bone,
        Self::ThroughBone,
        Self::Reach,
        Self::Cartilage,
        Self::Tension,
        Self::Holding,
        Self::Pressure,
        Self::Cone,
    ];

    /// What is said of it.
    pub fn row(self) -> Row {
        match self {
            Self::Spacing => Ask::Spacing.row(),
            Self::RimDistance => Ask::RimDistance.row(),
            Self::FractureDistance => Ask::FractureDistance.row(),
            Self::Bone => Row::new("bone", "bone about a hole", "mm", true),
            Self::ThroughBone => Row::new("through-bone", "limb through bone", "mm", false),
            Self::Reach => Row::new("reach", "lean of an instrument", "deg", false),
            Self::Cartilage => Ask::Cartilage.row(),
            Self::Tension => Row::new("tension", "tension over its limit", "", false),
            Self::Holding => Row::new("holding", "pull over holding load", "", false),
            Self::Pressure => Row::new("peak-pressure", "pressure of the bed", "MPa", false),
            Self::Cone => Row::new("friction-cone", "limbs together off square", "deg", false),
        }
    }
}

/// A constraint's value where it is nearest to its limit, or farthest beyond.
#[derive(Debug, Clone, PartialEq)]
pub struct Value {
    /// The value, in the unit of the rule.
    pub value: f64,
    /// The limit that it was held against: cones of reach have one each.
    pub limit: f64,
    /// By how much it is beyond its limit, as a share of it; negative inside.
    pub excess: f64,
    /// Whom it concerns.
    pub subject: String,
}

/// Limits as they hold for a case and a construct.
#[derive(Debug, Clone)]
pub(super) struct Rules {
    limits: Vec<(f64, Tag, String)>,
    /// Cones of reach.
    pub cones: Vec<Cone>,
    /// Whether what drilling asks is kept.
    pub drill: bool,
}

impl Rules {
    pub fn new(case: &Case, table: Option<&PlaceTable>) -> Self {
        let given = table.map_or_else(Limits::default, |t| t.limits);
        let of_case = |own: Option<f64>, of_case: f64, path: &str| {
            own.map_or_else(|| backed(path, of_case), |own| (own, Tag::Given, "[place] limits".to_owned()))
        };
        let own = |own: Option<f64>, path: &str| {
            let default = parameter(path).and_then(|p| p.default).unwrap_or(f64::NAN);
            of_case(own, default, path)
        };
        let limits = Rule::ALL.map(|rule| match rule {
            Rule::Spacing => of_case(given.spacing, case.anchors.least_spacing, "anchors.least_spacing"),
            Rule::RimDistance => {
                of_case(given.rim_distance, case.anchors.least_rim_distance, "anchors.least_rim_distance")
            }
            Rule::FractureDistance => of_case(
                given.fracture_distance,
                case.anchors.least_fracture_distance,
                "anchors.least_fracture_distance",
            ),
            // Each surface has its own: see `drill`.
            Rule::Bone => {
                backed("drill.to_wall", parameter("drill.to_wall").and_then(|p| p.default).unwrap_or(f64::NAN))
            }
            Rule::ThroughBone => {
                (THROUGH, Tag::Practice, "a straight limb may cut the corner of a convex bone so far".to_owned())
            }
            // Each cone has its own: see `reach`.
            Rule::Reach => (
                table.and_then(|t| t.reach.first()).map_or(90.0, |c| c.half_angle),
                Tag::Given,
                "[place.reach], or a portal".to_owned(),
            ),
            Rule::Cartilage => own(given.cartilage, "place.limits.cartilage"),
            Rule::Tension | Rule::Holding => own(given.used, "place.limits.used"),
            Rule::Pressure => of_case(given.peak_pressure, case.bed.crush_strength, "bed.crush_strength"),
            Rule::Cone => {
                let (friction, tag, source) = backed("bed.friction", case.bed.friction);
                (libm::atan(friction).to_degrees(), tag, source)
            }
        });
        Self {
            limits: limits.into(),
            cones: table.map_or_else(Vec::new, |t| t.reach.clone()),
            drill: table.is_some_and(|t| t.drill),
        }
    }

    /// The limit of a rule.
    pub fn limit(&self, rule: Rule) -> f64 {
        self.limits[rule as usize].0
    }

    /// A value against the limit of its rule.
    pub fn value(&self, rule: Rule, value: f64, subject: String) -> Value {
        self.against(rule, value, self.limit(rule), subject)
    }

    /// The same with a limit of its own.
    pub fn against(&self, rule: Rule, value: f64, limit: f64, subject: String) -> Value {
        Value { value, limit, excess: rule.row().share(value, limit), subject }
    }

    /// A rule at a design, as a record.
    pub fn kept(&self, rule: Rule, value: Option<&Value>) -> Kept {
        let (row, (limit, tag, source)) = (rule.row(), &self.limits[rule as usize]);
        let limit = value.map_or(*limit, |v| v.limit);
        let left = |v: &Value| {
            if row.at_least { v.value - limit } else { limit - v.value }
        };
        Kept {
            key: row.key.to_owned(),
            label: row.label.to_owned(),
            value: value.map(|v| v.value),
            limit,
            at_least: row.at_least,
            unit: row.unit.to_owned(),
            subject: value.map_or_else(String::new, |v| v.subject.clone()),
            slack: value.map(left),
            active: value.is_some_and(|v| v.excess.abs() < ACTIVE),
            violation: value.map_or(0.0, |v| v.excess.max(0.0)),
            tag: *tag,
            source: source.clone(),
        }
    }
}

/// A limit that is the case's, backed as its default is unless the file gives another number.
pub(in super::super) fn backed(path: &str, value: f64) -> (f64, Tag, String) {
    match parameter(path) {
        Some(p) if p.default.is_none_or(|d| d == value) => (value, p.tag, p.source.to_owned()),
        _ => (value, Tag::Given, "the case".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::spread::Subject;

    fn case() -> Case {
        let names = ["one-by-one".to_owned()];
        Subject::open("quarter", &names).unwrap().case().clone()
    }

    /// An instrument that meets the bone exactly square leans by nothing: its limit is still a number.
    #[test]
    fn a_limit_stands_beside_a_value_of_zero() {
        let rules = Rules::new(&case(), None);
        let square = rules.against(Rule::Reach, 0.0, 40.0, "lateral through low".to_owned());
        let kept = rules.kept(Rule::Reach, Some(&square));
        assert_eq!((kept.limit, kept.slack), (40.0, Some(40.0)));
        // A limit of nothing, too: no share of it can be told.
        let none = rules.against(Rule::Reach, 3.0, 0.0, String::new());
        let kept = rules.kept(Rule::Reach, Some(&none));
        assert_eq!((kept.limit, kept.slack, kept.violation), (0.0, Some(-3.0), 3.0));
    }

    /// The friction cone is backed as the default's friction is, unless the case has another one.
    #[test]
    fn a_cone_of_another_friction_is_given() {
        let tag = |case: &Case| Rules::new(case, None).kept(Rule::Cone, None).tag;
        let mut case = case();
        assert_eq!(tag(&case), parameter("bed.friction").unwrap().tag);
        case.bed.friction = 0.35;
        assert_eq!(tag(&case), Tag::Given);
        let limit = Rules::new(&case, None).limit(Rule::Cone);
        // tan of the limit is the friction, to roundings.
        assert!((libm::tan(limit.to_radians()) - 0.35).abs() < 1e-12);
    }
}
