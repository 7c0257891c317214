//! Wander maps against looks of their own.

use crate::place::{question, subject};
use crate::room::Room;
use rimhold::study::place::{Objective, wander};
use rimhold::study::result::WayEnd;

/// Every way out ends where it says: a tenth lost there and not before, or a constraint violated beyond.
#[test]
fn ways_out_agree_with_direct_looks() {
    let room = Room::new();
    let construct = room.with("one-by-one", "[place]\nlimits = { spacing = 2.0 }\n");
    let subject = subject("quarter", &construct);
    let question = question(&subject, Objective::Inferior);
    let at = question.tried(&question.given());
    let best = question.look(Some(&at)).values[0].unwrap();
    let (mut lost, mut constrained) = (0, 0);
    for anchor in &question.moved {
        let map = wander(&question, &at, anchor, 0.5, &()).unwrap().unwrap();
        assert_eq!(map.best, best);
        assert_eq!(map.ways.len(), 8);
        let axes: Vec<usize> = map
            .coordinates
            .iter()
            .map(|key| {
                let path = format!("anchor.{anchor}.{key}");
                let mut all = question.variables.iter();
                all.position(|v| v.path() == path).unwrap()
            })
            .collect();
        let look = |offset: [f64; 2]| {
            let mut moved = at.clone();
            for (axis, by) in axes.iter().zip(offset) {
                moved[*axis] += by;
            }
            question.look(Some(&moved))
        };
        for way in &map.ways {
            let offset = |s: f64| way.direction.map(|d| d * s);
            let here = look(offset(way.distance));
            assert_eq!(here.values[0], Some(way.value), "{anchor} {way:?}");
            assert!(way.value >= 0.9 * best - 1e-9);
            assert_eq!(here.violation(), 0.0);
            // The way is bisected to 0.002 mm, and places are rounded to half of that.
            let beyond = || look(offset(way.distance + 0.004));
            match &way.end {
                WayEnd::Lost => {
                    lost += 1;
                    assert!(beyond().values[0].unwrap() < 0.9 * best, "{anchor} {way:?}");
                }
                WayEnd::Constraint { key, .. } => {
                    constrained += 1;
                    assert_eq!(beyond().broken().unwrap().0, *key);
                }
                WayEnd::Range => {}
            }
        }
        for point in &map.grid {
            let here = look(point.offset);
            let value = here.values[0].filter(|_| here.violation() == 0.0);
            assert_eq!(point.value, value);
            assert_eq!(point.broken.is_some(), value.is_none());
            if let Some(loss) = point.loss {
                assert!((loss - (best - value.unwrap()) / best).abs() < 1e-12);
            }
        }
        let within = |share: f64| {
            let inside = map.grid.iter().filter(|g| g.loss.is_some_and(|l| l <= share));
            0.25 * inside.count() as f64
        };
        assert_eq!((map.area_10, map.area_25), (within(0.1), within(0.25)));
        assert!(map.area_10 > 0.0 && map.area_25 >= map.area_10);
    }
    assert!(lost > 0 && constrained > 0, "{lost} {constrained}");
}
