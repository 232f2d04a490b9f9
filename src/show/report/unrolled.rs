//! Two seamlines unrolled one above the other.
//!
//! ```text
//!    \                     /     neighbouring edges at their angles
//!     ─────┬─────▿─────────      the first side, its piece above; ▿ a dart folded out
//!          ┊                     a pair of notches
//!     ─────┴───────────────      the second side, its piece below
//!    /                     \
//! ```
//!
//! Where one side lies on top of the other, the stitching through both is drawn on either: inside the one, beyond the other.

use crate::canvas::{Font, number};
use crate::pattern::{Copy, NotchCount, Pattern, Run, Side, Travel};
use crate::show::markup::Markup;
use crate::tolerance::TOLD_DIFFERENCE;
use crate::truing::SeamWalk;
use crate::units::Length;

/// Size of the drawing, in its own units.
const WIDTH: f64 = 420.0;
const HEIGHT: f64 = 170.0;
/// Where the two lines start and how long the longer is.
const START: f64 = 52.0;
const LENGTH: f64 = 316.0;
/// How high the two lines lie.
const FIRST: f64 = 64.0;
const SECOND: f64 = 108.0;
/// Length of a neighbouring edge, of a notch, and the distance of a double notch's two ticks.
const NEIGHBOUR: f64 = 28.0;
const TICK: f64 = 9.0;
const TWIN: f64 = 4.0;
/// How far from its seamline the stitching of a lap is drawn: a lap itself may be narrower than a line.
const LAP: f64 = 6.0;
/// Size of the text.
const TEXT: f64 = 11.0;

/// The drawing of a seam.
pub(super) fn unrolled(pattern: &Pattern, walk: &SeamWalk) -> Markup {
    let longest = walk.lengths.0.mm().max(walk.lengths.1.mm());
    let scale = if longest > 0.0 { LENGTH / longest } else { 0.0 };
    let mut drawing = Markup::default();
    let view = format!("0 0 {WIDTH} {HEIGHT}");
    let name = format!("{} unrolled", walk.name);
    let attributes = [
        ("xmlns", "http://www.w3.org/2000/svg"),
        ("class", "unrolled"),
        ("viewBox", view.as_str()),
        ("role", "img"),
        ("aria-label", name.as_str()),
    ];
    drawing.within("svg", &attributes, |svg| {
        let drawer = Drawer { pattern, walk, scale };
        for side in Side::BOTH {
            drawer.side(svg, side);
        }
        drawer.pairs(svg);
        drawer.difference(svg);
    });
    drawing
}

struct Drawer<'a> {
    pattern: &'a Pattern,
    walk: &'a SeamWalk,
    scale: f64,
}

impl Drawer<'_> {
    fn place(&self, at: f64) -> f64 {
        START + at * self.scale
    }

    fn length(&self, side: Side) -> f64 {
        match side {
            Side::First => self.walk.lengths.0.mm(),
            Side::Second => self.walk.lengths.1.mm(),
        }
    }

    fn side(&self, svg: &mut Markup, side: Side) {
        let (y, out) = lies(side);
        let end = self.place(self.length(side));
        let angles: Vec<f64> = self
            .walk
            .ends
            .iter()
            .map(|end| if side == Side::First { end.angles.0 } else { end.angles.1 })
            .collect();
        let neighbour = |at: f64, toward: f64, angle: f64| {
            let (sin, cos) = angle.to_radians().sin_cos();
            (at + toward * NEIGHBOUR * cos, y - out * NEIGHBOUR * sin)
        };
        if let [first, last] = angles[..] {
            let (a, b) = (neighbour(START, 1.0, first), neighbour(end, -1.0, last));
            let points = [a, (START, y), (end, y), b];
            polygon(svg, "cloth", &points);
            line(svg, "neighbour", (START, y), a);
            line(svg, "neighbour", (end, y), b);
            let text = y + out * 12.0 + 4.0;
            words(svg, "angle", "end", (START - 7.0, text), &format!("{first:.1}°"));
            words(svg, "angle", "start", (end.max(START + LENGTH) + 7.0, text), &format!("{last:.1}°"));
        }
        line(svg, "seamline", (START, y), (end, y));
        self.edges(svg, side);
        self.laps(svg, side);
        for lone in self.walk.unmatched.iter().filter(|lone| lone.side == side) {
            tick(svg, side, self.place(lone.notch.at), lone.notch.count);
        }
    }

    /// The names of the edges, where one follows another, and the darts folded out.
    fn edges(&self, svg: &mut Markup, side: Side) {
        let (y, out) = lies(side);
        let run: &Run = self.pattern.seam(self.walk.seam).side(side);
        let mut start = 0.0;
        for (i, run_edge) in run.edges().iter().enumerate() {
            let Ok((piece, id)) = self.pattern.edge(&run_edge.edge) else { continue };
            let length = piece.sewn_length(id);
            let (from, to) = (self.place(start), self.place(start + length));
            if i > 0 {
                line(svg, "joint", (from, y - 5.0), (from, y + 5.0));
            }
            for (_, mouth) in piece.mouths_on(&piece.edge(id).name) {
                let sewn = piece.to_sewn(id, mouth.from);
                let at = match run_edge.travel {
                    Travel::Clockwise => start + sewn,
                    Travel::Anticlockwise => start + length - sewn,
                };
                let x = self.place(at);
                polygon(svg, "dart", &[(x - 4.0, y - out * 14.0), (x + 4.0, y - out * 14.0), (x, y)]);
            }
            let name = run_edge.edge.to_string();
            let fits = [name.clone(), run_edge.edge.edge.to_string()]
                .into_iter()
                .find(|text| Font::get().width(text) * TEXT <= to - from);
            let whole = run.edges().len() == 1;
            if let Some(text) = fits.or_else(|| whole.then_some(name)) {
                let row = y - out * 40.0 + 4.0;
                words(svg, "edge", "middle", (f64::midpoint(from, to), row), &text);
            }
            start += length;
        }
    }

    /// The stitching of the edges of a side that lie on top of the other: within their own cloth, and on the allowance that lies
    /// beneath.
    fn laps(&self, svg: &mut Markup, side: Side) {
        let seam = self.pattern.seam(self.walk.seam);
        let mut start = 0.0;
        for run in seam.side(side).edges() {
            let Ok((piece, id)) = self.pattern.edge(&run.edge) else { continue };
            let length = piece.sewn_length(id);
            let (from, to) = (self.place(start), self.place(start + length));
            start += length;
            let on_top = piece.edge(id).lap.is_some_and(|lap| lap > Length::ZERO);
            // Of a seam to its own mirror image one half lies on top.
            if !on_top || (seam.is_to_own_mirror() && run.edge.copy == Copy::Mirrored) {
                continue;
            }
            let ((top, out), (beneath, beyond)) = (lies(side), lies(side.other()));
            for y in [top - out * LAP, beneath + beyond * LAP] {
                line(svg, "lap", (from, y), (to, y));
            }
        }
    }

    /// Notches that meet, joined.
    fn pairs(&self, svg: &mut Markup) {
        for pair in &self.walk.pairs {
            let (first, second) = (self.place(pair.first.at.mm()), self.place(pair.second.at.mm()));
            line(svg, "pair", (first, FIRST + TICK), (second, SECOND - TICK));
            for (side, mark, x) in [(Side::First, &pair.first, first), (Side::Second, &pair.second, second)] {
                let count = mark.notch.as_ref().map_or(NotchCount::Single, |notch| notch.count);
                tick(svg, side, x, count);
            }
        }
    }

    /// Where the shorter ends, if that can be seen.
    fn difference(&self, svg: &mut Markup) {
        let (first, second) = (self.length(Side::First), self.length(Side::Second));
        if (first - second).abs() > TOLD_DIFFERENCE {
            let x = self.place(first.min(second));
            line(svg, "shorter", (x, FIRST), (x, SECOND));
        }
    }
}

/// How high a side lies, and whether its piece is above (1) or below (-1).
fn lies(side: Side) -> (f64, f64) {
    match side {
        Side::First => (FIRST, 1.0),
        Side::Second => (SECOND, -1.0),
    }
}

fn tick(svg: &mut Markup, side: Side, x: f64, count: NotchCount) {
    let (y, out) = lies(side);
    let places = match count {
        NotchCount::Single => vec![x],
        NotchCount::Double => vec![x - TWIN / 2.0, x + TWIN / 2.0],
    };
    for x in places {
        line(svg, "notch", (x, y), (x, y + out * TICK));
    }
}

fn line(svg: &mut Markup, class: &str, from: (f64, f64), to: (f64, f64)) {
    let [x1, y1, x2, y2] = [from.0, from.1, to.0, to.1].map(number);
    svg.empty("line", &[("class", class), ("x1", &x1), ("y1", &y1), ("x2", &x2), ("y2", &y2)]);
}

fn polygon(svg: &mut Markup, class: &str, points: &[(f64, f64)]) {
    let points: Vec<String> = points.iter().map(|(x, y)| format!("{},{}", number(*x), number(*y))).collect();
    svg.empty("polygon", &[("class", class), ("points", &points.join(" "))]);
}

fn words(svg: &mut Markup, class: &str, anchor: &str, at: (f64, f64), text: &str) {
    let [x, y, width] = [at.0, at.1, Font::get().width(text) * TEXT].map(number);
    let attributes = [
        ("class", class),
        ("text-anchor", anchor),
        ("x", &x),
        ("y", &y),
        ("textLength", &width),
        ("lengthAdjust", "spacingAndGlyphs"),
    ];
    svg.element("text", &attributes, text);
}
