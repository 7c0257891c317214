//! Orders of ties for drawing, by the study itself.

use rimhold::model::{Case, Construct, ConstructFile};
use rimhold::study::{self, Chosen, OrdersPlan, result::Orders};

pub fn construct(case: &Case, name: &str) -> Construct {
    ConstructFile::open(name).unwrap().fit(case).unwrap()
}

/// The study of these orders (none: of every one).
pub fn orders(case: &Case, construct: &Construct, orders: &[Vec<usize>]) -> Orders {
    let chosen = if orders.is_empty() { Chosen::all(construct, study::SEED) } else { Chosen::these(orders.to_vec()) };
    study::orders(case, construct, &chosen, &OrdersPlan::default(), &())
}
