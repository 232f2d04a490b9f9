//! The sentence for what a step tells.

use crate::derive::UnequalEnds;
use crate::pattern::PieceName;
use crate::recut::Told;
use crate::recut::reasons::{instead, reason, turned};
use crate::units::{Length, Unit};

impl Told {
    /// The sentence for it, lengths in the user's unit.
    #[must_use]
    pub fn sentence(&self, unit: Unit) -> String {
        match self {
            Told::PieceMade { piece, from } => {
                let from: Vec<&str> = from.iter().map(PieceName::as_str).collect();
                format!("`{piece}` is made of `{}`", from.join("` and `"))
            }
            Told::LineDrawn { piece, line } => {
                format!("style line `{line}` is drawn on `{piece}`: the strip is laid by it")
            }
            Told::FacingDivided { names } => {
                let names: Vec<&str> = names.iter().map(PieceName::as_str).collect();
                format!(
                    "the facing is divided into `{}`: the pieces do not lie flat over its depth at the seam between, or it \
                     would lie on two folds",
                    names.join("` and `")
                )
            }
            Told::EndsUnsewn { ends: UnequalEnds { longer, shorter, lengths } } => format!(
                "{longer} is {} long and {shorter} {}: the two ends at the seam are not sewn to each other",
                lengths.0.show(unit),
                lengths.1.show(unit)
            ),
            Told::PieceGone { piece } => {
                format!("`{piece}` is gone: what it was made from is one piece now, and has its own already")
            }
            Told::MustFollow { piece, off: Some(off) } => {
                format!("`{piece}` must follow: it is off by {} now", off.show(unit))
            }
            Told::MustFollow { piece, off: None } => {
                format!("`{piece}` must follow: what it was made from has changed")
            }
            Told::FollowsNoMore { piece } => {
                format!("`{piece}` was drawn anew itself: it stands by itself now and follows no other piece")
            }
            Told::SeamMade { first, second, first_length, second_length } => format!(
                "new seam {first} + {second}: {} against {}",
                first_length.show(unit),
                second_length.show(unit)
            ),
            Told::LengthsDiffer { first, second, by } => format!(
                "{first} and {second} differ by {} in length: the difference lies at the far end of the seam",
                by.show(unit)
            ),
            Told::EaseDeclared { edge, ease } => {
                format!("{edge} is longer by {}: ease it in between the notches", ease.show(unit))
            }
            Told::OffGrain { edge, degrees } => format!(
                "{edge} stands {degrees:.1}° off the grain: the edge will grow; stay it, or move the seam so that it \
                 follows the grain"
            ),
            Told::PartTurned { part, piece, degrees } => {
                format!("the part from `{part}` lies {degrees:.1}° off the grain of `{piece}`")
            }
            Told::GirthChanged { level, by } => {
                format!("the girth at {level} changes by {} on the whole garment", by.show_change(unit))
            }
            Told::AreaChanged { piece, why, by } => {
                format!("the area of `{piece}` changes by {:+.2} cm²: {}", by / 100.0, reason(*why, *by))
            }
            Told::StripMoved { from, to, widths: (least, most) } => {
                let (least, most) = (least.show(unit).to_string(), most.show(unit).to_string());
                let wide = if least == most { least } else { format!("{least} to {most}") };
                format!("a strip {wide} wide goes from `{from}` to `{to}`")
            }
            Told::Trued { edge, by } => format!("{edge} was trued by {}", by.show_change(unit)),
            Told::DartTaken { piece, dart } => format!("dart `{dart}` of `{piece}` is taken into the seam"),
            Told::DartMade { piece, dart, width } => {
                format!("a dart `{dart}`, {} wide, shapes `{piece}`", width.show(unit))
            }
            Told::Panels { piece, count, widest } => {
                format!(
                    "`{piece}` is cut in {count} panels, the widest {} with allowances",
                    widest.show(unit)
                )
            }
            Told::MarkCrossed { piece, by, mark } => {
                let line = by.word();
                format!("the new {line} crosses `{mark}` on `{piece}`: move the mark or the {line}")
            }
            Told::OtherHalfLost { piece, thing } => {
                format!("`{piece}` loses `{thing}`: the half that stays has none like it")
            }
            Told::NotchLost { edge, notch } => format!("notch `{notch}` of {edge} could not be kept"),
            Told::NotchMoved { edge, notch, by } => {
                format!("notch `{notch}` of {edge} goes with the seam that it meets, by {}", by.show(unit))
            }
            Told::SameCutNeeded { changed, sewn_to, .. } => {
                format!("{changed} changed; {sewn_to} is sewn to it too and may need the same cut")
            }
            Told::SeamTakenOff { seam } => format!("the seam {seam} is taken off"),
            Told::EdgeDivided { edge, into } => {
                let names: Vec<String> = into.iter().map(ToString::to_string).collect();
                format!("{edge} is now {}", names.join(" and "))
            }
            Told::EdgesJoined { edges, into } => format!("{edges} are now one edge, {into}"),
            Told::SeamOpened { first, second, purpose, length } => format!(
                "{first} and {second} are left open for a {}, {} long",
                purpose.word(),
                length.show(unit)
            ),
            Told::SeamClosed { first, second, purpose, length } => format!(
                "{first} and {second} are sewn again, {} long, without the {}",
                length.show(unit),
                purpose.word()
            ),
            Told::AllowanceWidened { edge, to } => {
                format!("the allowance of {edge} is now {}", to.show(unit))
            }
            Told::EdgeLapped { edge, lap } if *lap == Length::ZERO => {
                format!("{edge} is sewn edge to edge, without allowances")
            }
            Told::EdgeLapped { edge, lap } => {
                format!("{edge} is sewn on top, {} inside its edge", lap.show(unit))
            }
            Told::EdgeExtended { edge, by } => format!("{edge} is extended by {}", by.show(unit)),
            Told::NotSewnYet { edge, partner } => {
                format!("{edge} is sewn to nothing yet: extend the piece beside {partner} too")
            }
            Told::GrainTurned { piece, degrees } => {
                format!("the grain of `{piece}` {}", turned(*degrees))
            }
            Told::EndsAtFold { fold } => {
                format!("straight on, the new seam ends at the fold {fold} and runs on across the other half")
            }
            Told::CornerGaveWay { edges, shape, cut } => {
                format!("{edges}: the corner cannot be {} here: {}", shape.word(), instead(*cut))
            }
            Told::NothingToDo { at, why } => format!("nothing to do at {at}: {}", why.sentence(unit)),
            Told::AlreadyTrue { seam, length } => {
                format!("nothing to do at {seam}: both sides are {} long", length.show(unit))
            }
            Told::CutChanged { piece, cut } => format!("`{piece}` is now cut {cut}"),
            Told::OtherHalfAdded { piece } => {
                format!("`{piece}` is half now: what is drawn of it counts twice in the garment")
            }
        }
    }
}
