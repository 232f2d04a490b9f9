//! Pages that are put together.

/// Reading: two shapes are the same where every point of the one lies this near to that of the other (mm).
///
/// Writers round to a hundredth of a point, 0.0035 mm, each point by itself.
pub const SAME_SHAPE: f64 = 0.02;

/// Reading: two lines are of one form where each point of the one, drawn as large as the other, lies this near to that of
/// the other (as a share of their size).
///
/// A piece that an overview shows 30 mm large is rounded to a hundredth of a point, 0.0001 of it; writers that round to a
/// tenth, to 0.0012 of it.
pub const SAME_FORM: f64 = 0.003;

/// Reading: what stands this near to the same place of several pages stands at the same place (mm).
pub const SAME_PLACE_OF_PAGES: f64 = 0.05;

/// Reading: shifts that differ by no more than this are one (mm).
///
/// Two shapes, each rounded on both of its pages.
pub const SAME_SHIFT: f64 = 0.04;

/// Reading: how far from a whole number of steps a page may lie and still be in the grid (mm).
///
/// Ten steps, each as far off as one shift may be told from another.
pub const OFF_GRID: f64 = 0.4;

/// Reading: with two pages only, what stands on both at the same place belongs to them this near to their edge (mm).
///
/// Bars, names and notes of a page stand in its margin; of two pages a piece may stand at the same place as well.
pub const IN_MARGIN: f64 = 25.0;

/// Reading: how far two ends of a line cut at a page's edge may miss each other, across the line (mm).
///
/// Lines are cut up to 0.5 mm short; carried on straight to the edge they err by less, and two lines of nested sizes run a
/// millimetre apart.
pub const JOIN_MISS: f64 = 0.5;

/// Reading: how much two ends of a line cut at a page's edge may differ in direction (radians).
///
/// Eleven degrees: a curve of 10 mm radius that both pages cut 0.5 mm short turns by so much where it crosses aslant.
pub const JOIN_TURN: f64 = 0.2;

/// Reading: over how far the way of a line is told that ends in short straight lines at the edge of its page (mm).
///
/// Converters write curves as straight lines of 0.1 to 2 mm, each rounded by itself; over 1 mm a curve of 10 mm radius turns by
/// a quarter of [`JOIN_TURN`].
pub const WAY_OF_END: f64 = 1.0;

/// Reading: how far the corners of such lines may lie from the straight line that tells their way (mm).
///
/// What is drawn and rounded as a smooth line strays by less; a corner of a piece lies further off, but where it lies on the
/// very edge.
pub const STRAIGHT_AT_END: f64 = 0.1;

/// Reading: the least angle at which a line that is cut off meets the edge of its page (sine).
///
/// Under two degrees: edges of pieces along the grain cross the edge of a page so; a line that runs along it is a frame.
pub const LEAST_CUT_ANGLE: f64 = 0.03;

/// Reading: a mark by which pages are joined is no larger than this (mm).
///
/// Half a diamond on a page's edge is printed up to 15 mm wide.
pub const LARGEST_JOINING_MARK: f64 = 20.0;

/// Reading: a shape that is a joining mark on other pages is one this near to a side of its page as well (mm).
///
/// Where pages overlap, marks are centred on the edge of the next page: up to 15 mm inside.
pub const MARK_INSIDE: f64 = 15.0;

/// Reading: frames that differ by no more than this are the same one (mm).
pub const SAME_FRAME: f64 = 0.2;

/// Reading: the least share of a page by which the next one is shifted.
///
/// No overlap takes half of a page; a smaller shift is of equal shapes lying beside each other.
pub const LEAST_STEP_OF_PAGE: f64 = 0.5;

/// Reading: how far apart drawings of one file are laid (mm).
pub const DRAWINGS_APART: f64 = 50.0;

/// Reading: squares and bars printed to check the scale measure from this to that (mm); shorter ones serve to measure
/// nothing else by.
pub const TEST_SHAPE: [f64; 2] = [20.0, 110.0];

/// Reading: how much longer a test square may be one way than the other (a share).
///
/// A drawing that was scaled across and down by different factors differs by less; patches and pockets by more.
pub const TEST_SQUARE: f64 = 0.06;

/// Reading: how far from a test square or bar its writing stands (mm).
pub const TEST_LABEL_REACH: f64 = 20.0;

/// Reading: how much a test square or bar may differ from the length that is written at it (a share).
///
/// Pages printed to fit the paper come out up to 6 % too small; what differs by more is of another length.
pub const TEST_LABEL_OFF: f64 = 0.06;

/// Reading: pages overlap by no less than this (mm): less is the width of a line.
pub const LEAST_OVERLAP: f64 = 1.0;

/// Reading: pages overlap by no more than this (mm): strips to be glued are up to an inch and a half wide.
pub const LARGEST_OVERLAP: f64 = 40.0;

/// Reading: two lines speak for the same overlap where what they say differs by no more than this (mm).
///
/// A line that runs at six degrees to the direction square to the edge is rounded to 0.01 mm, ten times as much along it.
pub const SAME_OVERLAP: f64 = 0.2;

/// Reading: papers of which the width and the height differ by no more than this are the same one (mm).
///
/// Writers round A4 to whole points, and some to whole millimetres; no two papers of a printer are as near.
pub const SAME_PAPER: f64 = 1.0;

/// Reading: a page that lies with no others is a drawing of its own where a closed line on it is as long as this (mm).
///
/// Small pieces are longer, sketches in instructions mostly shorter; what is taken too much is told, and is easily left out.
pub const LEAST_ALONE: f64 = 60.0;

/// Reading: two lines that end on either side of the edge between two pages are one that turns a corner there where their ends
/// lie this near to each other along it (mm).
///
/// Two points rounded to a tenth of a point; by chance two of some ten lines at an edge lie as near once in a hundred edges.
pub const CORNER_ON_EDGE: f64 = 0.05;

/// Reading: a line that ends at the edges of two pages goes on past the corner of the page between where its ends lie no
/// farther apart (mm).
///
/// What of a page is less than a millimetre deep, as lines that are cut a little short leave nothing of, is as wide across its corner.
pub const AROUND_CORNER: f64 = 2.0;
