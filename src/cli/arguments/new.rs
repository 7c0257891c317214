//! What `rimhold new` takes.

use super::example;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// Which shoulder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Shoulder {
    /// Right
    Right,
    /// Left
    Left,
}

/// `rimhold new`.
#[derive(Debug, Args)]
#[command(after_help = example(
    "rimhold new --side left --diameter 27 --width \"22 %\" --middle 4:00 --depth 9 --out case.toml",
    "What was not measured is written as a comment with the default that will be taken."
))]
pub struct New {
    /// Which shoulder
    #[arg(long)]
    pub side: Shoulder,
    /// Diameter of the best-fit circle of the inferior socket, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub diameter: f64,
    /// Width of the fragment: mm, or percent of the diameter ("25 %")
    #[arg(long, value_name = "WIDTH", allow_hyphen_values = true)]
    pub width: String,
    /// Clock position of the fragment's middle, as 4:00 or 4.5; 3 is anterior on either side
    #[arg(long, value_name = "CLOCK", allow_hyphen_values = true)]
    pub middle: String,
    /// Medial depth of the fragment at its middle, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub depth: Option<f64>,
    /// Tilt of the fracture plane, degrees; positive: runs outward as it goes medially
    #[arg(long, value_name = "DEG", allow_hyphen_values = true)]
    pub tilt: Option<f64>,
    /// Superoinferior length where it is shorter than the whole fracture line, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub length: Option<f64>,
    /// Displacement inferiorly along the fracture line, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub inferior: Option<f64>,
    /// Displacement medially down the fracture plane, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub medial: Option<f64>,
    /// Displacement out of the bed, mm
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub out_of_bed: Option<f64>,
    /// Turn of the displaced fragment about the fracture line, degrees; positive: sits up
    #[arg(long, value_name = "DEG", allow_hyphen_values = true)]
    pub displaced_tilt: Option<f64>,
    /// Turn of the displaced fragment about the bed's normal, degrees
    #[arg(long, value_name = "DEG", allow_hyphen_values = true)]
    pub spin: Option<f64>,
    /// Turn of the displaced fragment about the direction down the plane, degrees
    #[arg(long, value_name = "DEG", allow_hyphen_values = true)]
    pub yaw: Option<f64>,
    /// Name of the case
    #[arg(long)]
    pub name: Option<String>,
    /// File to write; standard output when not given. An existing file is never overwritten
    #[arg(long, short, value_name = "FILE")]
    pub out: Option<PathBuf>,
}
