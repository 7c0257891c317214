//! Studies of scatter and sweeps, from the library and from outside the program.

mod long;
mod meaning;
mod mistakes;
mod outside;
mod told;

use crate::room::Room;

impl Room {
    fn json(&self, arguments: &[&str]) -> serde_json::Value {
        let mut all = arguments.to_vec();
        all.extend(["--format", "json"]);
        serde_json::from_str(&self.run(&all)).unwrap()
    }
}
