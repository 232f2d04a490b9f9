//! How the grain is held to the cloth: the one definition that the command line and the table share.

use clap::Args;

use crate::units::Angle;

/// How the grain is held to the cloth.
#[derive(Clone, Copy, Debug, Args)]
pub struct GrainChoice {
    /// How far off the grain a piece may lie, in degrees.
    #[arg(long, help_heading = "Cloth", value_name = "DEGREES", default_value = "0", value_parser = small_angle)]
    pub grain_tolerance: Angle,
}

/// The most that a piece may be said to lie off the grain, degrees: at 10° a cloth already hangs as if on the bias.
const MOST_OFF_GRAIN: f64 = 10.0;

fn small_angle(text: &str) -> Result<Angle, String> {
    let degrees = text.trim().trim_end_matches('°').parse::<f64>().ok();
    degrees
        .filter(|degrees| (0.0..=MOST_OFF_GRAIN).contains(degrees))
        .map(Angle::from_degrees)
        .ok_or_else(|| format!("write degrees from 0 to {MOST_OFF_GRAIN}"))
}
