//! What a recut looks like once it is worn, in the fewest words; how it is made is told apart from that.

use crate::pattern::PieceName;
use crate::plan::{ChangeKind, Done};
use crate::units::listed;

/// What changes look like, those of one kind together: `Princess seams in front and back, the sleeve in two parts.`
/// Nothing where there are none.
pub(super) fn look(done: &[Done]) -> String {
    let mut seen: Vec<(LookOf, Vec<&PieceName>)> = Vec::new();
    for Done { kind, root, tale } in done {
        let is_done = |other: ChangeKind| done.iter().any(|done| done.root == *root && done.kind == other);
        let look = match kind {
            // What is in panels is not told to have a seam down its middle as well.
            ChangeKind::Centre if is_done(ChangeKind::Panels) => continue,
            // How the edges of a seam are sewn is told with the seam.
            ChangeKind::Lapped | ChangeKind::Butted => continue,
            // A seam of what was cut up may be one of its own.
            ChangeKind::SideSeam if done.iter().any(|done| done.root == *root && done.kind.makes_parts()) => {
                LookOf::SeamMoved
            }
            kind => on_selvedges(done, root, tale)
                .map_or(LookOf::Of(*kind), |joint| LookOf::OnSelvedges(*kind, joint)),
        };
        match seen.iter_mut().find(|(known, _)| *known == look) {
            Some((_, roots)) if roots.contains(&root) => {}
            Some((_, roots)) => roots.push(root),
            None => seen.push((look, vec![root])),
        }
    }
    let phrases: Vec<String> = seen.iter().map(|(look, roots)| phrase(*look, roots)).collect();
    // What is told of several pieces has commas of its own.
    as_sentence(&phrases.join("; "))
}

/// What is seen of a change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum LookOf {
    /// What its kind says.
    Of(ChangeKind),
    /// A seam of a piece that is in parts lies elsewhere.
    SeamMoved,
    /// What its kind says, with the edges on the selvedges.
    OnSelvedges(ChangeKind, JointOnSelvedges),
}

/// How edges on selvedges are sewn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum JointOnSelvedges {
    Lapped,
    Butted,
}

/// How the edges of a seam that a change made are sewn, where they lie on the selvedges.
fn on_selvedges(done: &[Done], root: &PieceName, tale: &str) -> Option<JointOnSelvedges> {
    let same = done.iter().filter(|other| other.root == *root && other.tale == tale);
    same.into_iter().find_map(|other| match other.kind {
        ChangeKind::Lapped => Some(JointOnSelvedges::Lapped),
        ChangeKind::Butted => Some(JointOnSelvedges::Butted),
        _ => None,
    })
}

fn phrase(look: LookOf, roots: &[&PieceName]) -> String {
    let names: Vec<String> = roots.iter().map(|root| format!("`{root}`")).collect();
    let names = listed(&names);
    let kind = match look {
        LookOf::Of(kind) => kind,
        LookOf::SeamMoved => return format!("a seam of {names} moved"),
        LookOf::OnSelvedges(kind, joint) => {
            let how = match joint {
                JointOnSelvedges::Lapped => "lapped",
                JointOnSelvedges::Butted => "butted",
            };
            return match kind {
                ChangeKind::Centre => format!("centre seam of {names} {how} at the selvedges"),
                ChangeKind::SideSeam | ChangeKind::Selvedge => {
                    format!("side seam of {names} {how} at the selvedge")
                }
                _ => format!("seams of {names} {how} at the selvedges"),
            };
        }
    };
    match kind {
        ChangeKind::SideSeam => format!("side seam moved into {names}"),
        ChangeKind::Selvedge => format!("{names} whole from selvedge to selvedge"),
        ChangeKind::Centre => format!("centre seam in {names}"),
        ChangeKind::Princess => format!("princess seams in {names}"),
        ChangeKind::DartSeam => format!("darts of {names} run into seams"),
        ChangeKind::StyleLine => format!("{names} cut along a drawn line"),
        ChangeKind::Yoke => format!("yoke on {names}"),
        ChangeKind::Waist => format!("seam across {names}"),
        ChangeKind::Panels => format!("{names} in even panels"),
        ChangeKind::Band => format!("band on {names}"),
        ChangeKind::Border => format!("border of other cloth on {names}"),
        ChangeKind::Crosswise => format!("{names} cut crosswise"),
        ChangeKind::TwoPiece => format!("{names} in an upper and an under part"),
        ChangeKind::Piecing => format!("{names} pieced where it is not seen"),
        ChangeKind::Companion => format!("{names} from other cloth"),
        ChangeKind::Lapped => format!("seams of {names} lapped at the selvedges"),
        ChangeKind::Butted => format!("seams of {names} butted at the selvedges"),
    }
}

/// Words as a sentence: a capital before, a full stop behind. Nothing of none.
pub(super) fn as_sentence(words: &str) -> String {
    let mut letters = words.chars();
    // A name in quotes keeps its own letters.
    let Some(first) = letters.next() else { return String::new() };
    format!("{}{}.", first.to_uppercase(), letters.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn changes_of_one_kind_are_told_together_each_piece_once() {
        let done = |kind, root: &str| Done { kind, root: root.parse().unwrap(), tale: String::new() };
        let all = [
            done(ChangeKind::Princess, "front"),
            done(ChangeKind::TwoPiece, "sleeve"),
            done(ChangeKind::Princess, "back"),
            done(ChangeKind::Princess, "back"),
        ];
        let told = look(&all);
        assert_eq!(told, "Princess seams in `front` and `back`; `sleeve` in an upper and an under part.");
        assert_eq!(look(&[]), "");
    }

    #[test]
    fn what_is_in_panels_has_no_centre_seam_and_a_sleeve_no_side_seam() {
        let done = |kind, root: &str| Done { kind, root: root.parse().unwrap(), tale: String::new() };
        let all = [
            done(ChangeKind::Centre, "collar"),
            done(ChangeKind::Panels, "cuff"),
            done(ChangeKind::StyleLine, "sleeve"),
            done(ChangeKind::SideSeam, "sleeve"),
            done(ChangeKind::SideSeam, "back"),
            done(ChangeKind::Panels, "collar"),
        ];
        let told = look(&all);
        assert_eq!(
            told,
            "`cuff` and `collar` in even panels; `sleeve` cut along a drawn line; a seam of `sleeve` moved; side seam moved \
             into `back`."
        );
    }

    #[test]
    fn how_a_seam_at_the_selvedges_is_sewn_is_told_with_it() {
        let done =
            |kind, root: &str, tale: &str| Done { kind, root: root.parse().unwrap(), tale: tale.to_owned() };
        let all = [
            done(ChangeKind::Centre, "back", "open the back"),
            done(ChangeKind::Butted, "back", "open the back"),
            done(ChangeKind::Centre, "front", "open the front"),
            done(ChangeKind::Panels, "back", "panels"),
        ];
        let told = look(&all[..3]);
        assert_eq!(told, "Centre seam of `back` butted at the selvedges; centre seam in `front`.");
    }
}
