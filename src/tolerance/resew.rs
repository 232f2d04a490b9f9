//! What is shown and proven afterwards.

/// Law: how far an old edge may lie from where the new pieces have it once they are laid back, unless a step declares
/// that it redrew it (mm).
///
/// The law that splitting and merging give the piece back allows as much.
pub const RESEWN_EDGE: f64 = 0.01;

/// Law: how much area may lie twice, be missing, or change beyond what a step declares (mm²).
///
/// The welds of a new piece may move its corners by [`JOINT`](super::JOINT); along 200 mm of edges that fade from them it is this much.
/// A pencil line covers it in 5 mm. What is more is told.
pub const RESEWN_AREA: f64 = 1.0;

/// Law: how far a drawing may lie from what its recorded steps give (mm). Writing and reading move a point by less.
pub const REPLAYED: f64 = 1e-3;

/// Law: how far a length that is written on a sheet may be from what its recorded steps give (mm): a step may have worked
/// it out from lines that a sheet rounds.
pub const CHANGED_LENGTH: f64 = 1e-3;

/// Reading: what is laid on what it belongs to, or straightened, by no more than this is where it was drawn (mm).
///
/// A drawing program that rounds to two decimals is off by 0.007 mm at most; a hand that moves a line moves it further.
pub const SNAPPED: f64 = 0.02;

/// Numerical: how far apart the places are at which old and new edges are held against one another (mm).
pub const RESEW_STEP: f64 = 2.0;

/// Numerical: lengths and girths of a ledger and of the pattern that it was kept from agree within this (mm).
///
/// Both are measured alike on the same lines. It is what counts as changed on a sheet; one that another program wrote
/// anew with three decimals stays under it.
pub const SAME_LEDGER_LENGTH: f64 = 0.02;

/// Numerical: the areas of a ledger and of the pattern that it was kept from agree within this (mm²). Sheets are written
/// to a millionth; the sum of all areas errs by that much along every edge.
pub const SAME_LEDGER_AREA: f64 = 0.1;

/// Numerical: how far what a step is recorded to have declared may lie from what it declares when it is done again (mm²).
///
/// A sheet rounds to a millionth, which along the two metres round a large piece is 0.002 mm².
pub const RECORDED_AREA: f64 = 0.01;

/// Numerical: the same of an angle off the grain (degrees): 0.01 mm over the length of a coat.
pub const RECORDED_ANGLE: f64 = 5e-4;

/// Numerical: how far a line may lie from where it lay before to count as not redrawn (mm).
///
/// Ten times the 0.001 mm by which reading and writing may move a point, and far less than any step moves one.
pub const REDRAWN: f64 = 0.01;

/// Sewing: the least difference of two seamlines that a report tells (mm); finer than a needle's hole.
pub const TOLD_DIFFERENCE: f64 = 0.05;

/// Numerical: a distance under which no nearer line is looked for where new lines are held against old ones (mm): far
/// under what counts.
pub const RESEW_ENOUGH: f64 = 1e-9;
