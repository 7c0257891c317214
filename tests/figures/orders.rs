//! Orders of ties for drawing.

use rimhold::case::{Case, Construct, ConstructFile};
use rimhold::study::result::Orders;
use rimhold::study::{self, Chosen, OrdersPlan};

pub fn construct(case: &Case, name: &str) -> Construct {
    ConstructFile::open(name).unwrap().fit(case).unwrap()
}

/// Ties of one limb each.
pub fn one_by_one(mut construct: Construct) -> Construct {
    construct.ties = construct
        .ties
        .iter()
        .flat_map(|tie| {
            tie.limbs.iter().map(|k| {
                let mut single = tie.clone();
                single.limbs = vec![*k];
                single
            })
        })
        .collect();
    construct
}

/// The study of every order (or of the construct's own alone).
pub fn orders(case: &Case, construct: &Construct, all: bool) -> Orders {
    let chosen = if all {
        Chosen::all(construct, 1)
    } else {
        Chosen::own(construct)
    };
    study::orders(case, construct, &chosen, &OrdersPlan::default(), &|| {})
}
