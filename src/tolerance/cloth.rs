//! Cloth: widths, layouts, stripes.

/// Numerical: how far a polygon that stands for a cutting line in a layout may lie outside it (mm).
///
/// A tenth of a millimetre costs a thousandth of the cloth at most, and keeps an armhole to some twenty corners. The
/// polygon never lies inside the line, so that what is laid with it holds for the line itself.
pub const LAY_FLATTENING: f64 = 0.1;

/// Numerical: a cutting line this near to the line of a fold lies on it (mm).
///
/// Corners at a fold are worked out from offsets good to [`OFFSET_ACCURACY`](super::OFFSET_ACCURACY).
pub const FOLD_LINE: f64 = 0.02;

/// Numerical: how far outlines are drawn in where a lay is searched for (mm).
///
/// Pieces that touch along an edge then stand apart by twice this, over what turning leaves of a straight edge of ten
/// metres (1e-11), so that touching is never taken for overlapping; what is found overlaps by twice this at most, under
/// [`LAY_OVERLAP`].
pub const LAY_DRAWN_IN: f64 = 0.002;

/// Numerical: two things overlap or reach over a border by less than this where a lay is searched for: they touch (mm).
///
/// The depth of circles is worked out with 24 bits, 2e-4 on a piece of two metres.
pub const LAY_APART: f64 = 0.004;

/// Sewing: the deepest overlap of two pieces in a lay, and the furthest that one reaches over a border or flaw (mm).
///
/// A thirtieth of a pencil line.
pub const LAY_OVERLAP: f64 = 0.01;

/// Numerical: how far one of two outlines is moved before they are tested for crossing (mm).
///
/// Two pieces put against one selvedge have corners exactly on each other's edges, where crossing can't be told from
/// touching. Well over the rounding of products of metres (1e-9 mm), and nothing beside [`LAY_DRAWN_IN`].
pub const LAY_NUDGE: f64 = 1e-7;

/// Sewing: how far an edge that lies on the selvedge may bend, or lie inside the outermost line of its piece (mm).
///
/// A seam may differ by as much.
pub const SELVEDGE_STRAYS: f64 = 0.5;

/// Sewing: how far inside a selvedge an edge that lies on it may be (mm).
///
/// A woven edge wavers by a thread or two; a strip wider than this would have to be cut off, and the finish with it.
pub const OFF_SELVEDGE: f64 = 1.0;

/// Sewing: how far stripes may part in a seam and still be said to meet (mm).
///
/// One sixteenth of an inch, the mismatch usually tolerated along a seam (trade magazine, 2018).
pub const STRIPES_MEET: f64 = 1.5875;

/// The least difference of two edges to the grain that is told as why their stripes part, degrees: below it, it is their
/// curves that part.
pub const EDGES_APART_TOLD: f64 = 1.0;

/// How far marks around two places of cloth may lie differently for the places to count as alike in the search: half of
/// [`STRIPES_MEET`], so that the other half is left to seams whose two sides are not quite alike. Millimetres.
pub const MARKS_ALIKE: f64 = STRIPES_MEET / 2.0;

/// Sewing: the shortest stretch of a seam on which stripes must meet for a match to be worth its cloth (mm).
pub const LEAST_MATCH: f64 = 50.0;

/// Numerical: how far apart the places are at which stripes are compared along a seam (mm).
///
/// The worst place may lie at a corner between two of them. Where one edge leans from the other by half a millimetre in
/// each, which is 27°, what is told is then off by an eighth of a millimetre at most.
pub const MATCH_STEP: f64 = 0.5;

/// Numerical: how finely cutting lines are followed in the final check of a layout (mm).
///
/// A tenth of [`LAID_OVER`](super::LAID_OVER), the overlap that is allowed.
pub const CHECK_FLATTENING: f64 = 0.001;

/// Numerical: how far a piece in a layout may be turned from an allowed direction beyond the tolerance asked for
/// (degrees).
///
/// A piece of a metre then lies off by less than two thousandths of a millimetre.
pub const GRAIN_TURNED: f64 = 1e-4;

/// Limit: how many copies are laid at once.
///
/// A lay in the making keeps what each copy overlaps of each other, and its weight: 64 MB for so many, and several are
/// searched side by side. A garment has under a hundred.
pub const MOST_COPIES: usize = 2_000;

/// Numerical: how exactly a depth over what is allowed is worked out in the check of a lay (a share of it).
pub const LAY_DEPTH_SHARE: f64 = 0.02;

/// Numerical: turns nearer than this are one in the check of a lay (degrees): over a metre they differ by 2e-5 mm.
pub const LAY_SAME_TURN: f64 = 1e-6;

/// Numerical: the greatest turn of a corner whose tip is left on when an outline is grown by the gap (radians).
///
/// At 60° the tip stands 0.15 of the gap beyond it; beyond that the corner is cut off by one line that keeps its distance.
pub const LAY_TIP_KEPT: f64 = 1.05;

/// Numerical: how finely the outline of a panel is followed to tell how far it reaches (mm).
///
/// Finer than anything that is cut.
pub const PANEL_FLATTENING: f64 = 0.01;

/// Numerical: how far apart places on a cutting line are tried in the final check of a layout (mm).
///
/// Where two lines cross, one of them has a corner inside the other, or the crossing is longer than this: a line of cloth
/// bends no tighter.
pub const CHECK_STEP: f64 = 1.0;

/// Limit: the least repeat of stripes (mm).
///
/// The finest hairline stripes are two threads wide, half a millimetre; what repeats more often is a plain cloth to the
/// eye, and a line drawn for each stripe would be a ground.
pub const LEAST_REPEAT: f64 = 0.5;

/// Limit: how many of one thing a cloth file may tell of: lengths, widths measured along, flaws, marks, panels.
///
/// Marks at each centimetre of 100 m are so many. Each is looked at for every place that is tried for a piece.
pub const MOST_TOLD: usize = 10_000;

/// Limit: the lengths and panels of one cloth, copies counted.
///
/// Each is a ground of its own that a layout may use, and is searched. No more than pieces are laid:
/// [`MOST_COPIES`].
pub const MOST_GROUNDS: usize = 2_000;

/// Numerical: the size of the cells in which the colours of a photograph of cloth are kept (mm).
///
/// Half of [`COLOUR_STEP`], so that a place between cells is told by those on either side of it.
pub const COLOUR_CELL: f64 = 2.5;

/// Sewing: how far apart the places are at which colours are compared along a seam (mm).
///
/// What is narrower is not told apart at the distance from which a garment is seen.
pub const COLOUR_STEP: f64 = 5.0;

/// Sewing: how different the blocks of a row of cloth may look from the row, on the average, for the cloth to have no
/// pattern across (CIEDE2000).
///
/// About 1 is just seen side by side; the grain and the blotches of a photograph add as much.
pub const PLAIN_ACROSS: f64 = 2.0;

/// Sewing: how far the scale of a photograph along may be from that across before it is told (a share of it).
///
/// Corners read to a hundredth of the width, and a tilt of the camera of 20°, stay below.
pub const SCALES_APART: f64 = 0.05;

/// Limit: the most cloth that one pixel of a photograph may show (mm): that of a cell.
pub const COARSEST_PIXEL: f64 = COLOUR_CELL;

/// Sewing: how far photographs of a cloth may lie over one another, or apart, and still lie end to end (mm).
///
/// As exactly as the place of a corner is measured on cloth.
pub const PICTURES_OVERLAP: f64 = 5.0;

/// Limit: the most pixels of a photograph of cloth: those of the largest cameras at hand. It is read in 2 GB at the most.
pub const MOST_PIXELS: u64 = 120_000_000;

/// Numerical: into how many shades the colours of cloth are gathered where a lay is searched for.
///
/// A table of what each differs from each then has 4 MB, and is made in a fifth of a second.
pub const MOST_SHADES: usize = 1_000;

/// Numerical: the width of the steps in which stripes along the length, and colours along a cloth that is plain across, are
/// told apart where a lay is searched for (mm).
///
/// A third of [`STRIPES_MEET`]: where bands have sharp edges, a step that is off shows as one place in ten of a seam.
pub const STRIPE_CELL: f64 = 0.5;

/// How different cloth counts of which it is not known what it looks like, where a lay is searched for (CIEDE2000): as two
/// colours that nobody would call alike, so that pieces lie where cloth is known.
pub const UNKNOWN_COLOUR: f64 = 15.0;

/// Sewing: the mean difference of colour along a seam up to which its sides are said to look alike (CIEDE2000).
///
/// About 1 is just seen side by side; up to 3 two yarns pass for one colour where they are not laid on one another.
pub const COLOURS_ALIKE: f64 = 3.0;

/// How alike neighbouring patches of cloth must look to be drawn as one (CIEDE2000): under what is just seen.
pub const PATCH_ALIKE: f64 = 0.7;

/// Sewing: how far two rigid pieces may gape along a seam, on the mean of squares, for them to be drawn joined (mm).
///
/// A princess seam over the bust gapes by 10 to 15 mm; a sleeve's cap laid on an armhole by over 30.
pub const SEWN_GAPES: f64 = 20.0;

/// How far a piece may be turned to its neighbour in a picture of the garment as it is sewn, degrees: the gores of a wide skirt
/// are turned by up to 20 to each other; a sleeve laid on its armhole, or a collar on its neckline, by 40 and more.
pub const SEWN_LEANS: f64 = 25.0;

/// Cutting: how near to where the hand would have it a piece that is moved on the cloth settles, beside what is in its way
/// (mm).
///
/// As near as one lays paper to paper by eye.
pub const SETTLED: f64 = 0.1;

/// Cutting: how far around the hand a place is looked for at first (mm).
///
/// Twenty times [`SETTLED`]: a hand that is nearer than this to a free place finds it in the first ring.
pub const SETTLED_FIRST_RING: f64 = 2.0;

/// The most marks that stripes of a cloth have.
///
/// 100 m of cloth in stripes of a centimetre.
pub const MOST_MARKS: usize = 10_000;

/// Laying: places at one distance along a seam that lie no farther apart on the cloth are one (mm).
///
/// Less than the mouth of any dart, over which nothing is sewn.
pub const ONE_PLACE: f64 = 0.5;

/// Numerical: at how many tilts to either side within what its grain may be off a piece is first held against a panel; between
/// those beside the best it is then turned as is best.
pub const PANEL_TILTS: i32 = 4;
