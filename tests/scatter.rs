//! Studies of scatter and sweeps, from the library and from outside the program.

#[path = "scatter/long.rs"]
mod long;
#[path = "scatter/meaning.rs"]
mod meaning;
#[path = "scatter/mistakes.rs"]
mod mistakes;
#[path = "scatter/outside.rs"]
mod outside;
mod room;
#[path = "scatter/told.rs"]
mod told;

use room::Room;

impl Room {
    fn json(&self, arguments: &[&str]) -> serde_json::Value {
        let mut all = arguments.to_vec();
        all.extend(["--format", "json"]);
        serde_json::from_str(&self.run(&all)).unwrap()
    }
}
