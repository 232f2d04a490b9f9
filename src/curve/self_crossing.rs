//! Where a chain of segments meets itself.

use kurbo::{ParamCurve, PathSeg, Point};

use super::crossing::{Hit, meeting, overlapping, segment_hits};
use super::{Curve, segment};
use crate::tolerance::CROSSINGS_APART;

/// Whether the last segment of a chain is followed by the first.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum ChainEnds {
    Open,
    Closed,
}

/// A place where a chain meets itself elsewhere than at a joint.
#[derive(Clone, Copy, Debug)]
pub(super) struct Contact {
    pub first: usize,
    pub second: usize,
    pub hit: Hit,
    pub point: Point,
}

impl Curve {
    /// A place where the curve crosses or touches itself, or runs back over itself. That its two ends may meet does
    /// not count.
    pub fn crosses_itself(&self) -> Option<Point> {
        let closes = (self.end() - self.start()).hypot() <= CROSSINGS_APART;
        let chain = if closes { ChainEnds::Closed } else { ChainEnds::Open };
        contacts(self.segments(), chain).next().map(|contact| contact.point)
    }
}

/// All places where a chain of segments crosses or touches itself, or runs back over itself. One place may come for
/// each of the segments that meet there.
pub(super) fn contacts(chain: &[PathSeg], closing: ChainEnds) -> impl Iterator<Item = Contact> + '_ {
    let boxes: Vec<_> = chain.iter().map(segment::control_box).collect();
    let loops = chain.iter().enumerate().filter_map(move |(index, piece)| loop_of(index, piece));
    let pairs = overlapping(&boxes).flat_map(move |(first, second)| {
        let (a, b) = (&chain[first], &chain[second]);
        segment_hits(a, b)
            .into_iter()
            .map(move |hit| Contact { first, second, hit, point: meeting(a, b, hit) })
            .filter(move |contact| !is_joint(contact, chain, closing))
    });
    loops.chain(pairs)
}

/// The loop of a cubic within itself, unless it is that of both ends.
fn loop_of(index: usize, piece: &PathSeg) -> Option<Contact> {
    let PathSeg::Cubic(cubic) = piece else {
        return None;
    };
    let (t, u) = segment::double_point(cubic)?;
    let point = segment::point(piece, t);
    let at_ends = (point - piece.start()).hypot() <= CROSSINGS_APART
        && (point - piece.end()).hypot() <= CROSSINGS_APART;
    (!at_ends).then_some(Contact { first: index, second: index, hit: Hit { t, u }, point })
}

/// Whether a contact is the joint of a segment with the one that follows it.
fn is_joint(contact: &Contact, chain: &[PathSeg], closing: ChainEnds) -> bool {
    let (a, b) = (&chain[contact.first], &chain[contact.second]);
    let near = |joint: Point| (contact.point - joint).hypot() <= CROSSINGS_APART;
    let follows = contact.second == contact.first + 1;
    let wraps = closing == ChainEnds::Closed && contact.first == 0 && contact.second == chain.len() - 1;
    let Hit { t, u } = contact.hit;
    (follows && near(a.end()) && near_end(a, t) && near_start(b, u))
        || (wraps && near(a.start()) && near_start(a, t) && near_end(b, u))
}

fn near_start(piece: &PathSeg, t: f64) -> bool {
    t < 0.5 || segment::length_to(piece, t) <= 2.0 * CROSSINGS_APART
}

fn near_end(piece: &PathSeg, t: f64) -> bool {
    t > 0.5 || segment::length(piece) - segment::length_to(piece, t) <= 2.0 * CROSSINGS_APART
}
