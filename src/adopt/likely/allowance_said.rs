//! What the writing of a drawing says of its allowances: how wide they are, and whether they are drawn.

use crate::adopt::found::Found;
use crate::adopt::likely::vocabulary::HEM;
use crate::adopt::likely::words::holds_any;
use crate::drawing::lengths_in;

/// Whether the line that is drawn is the one that is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Included {
    /// Allowances are included.
    Yes,
    /// They are to be added.
    No,
}

/// What is said of allowances.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct SaidAllowance {
    /// How wide they are along seams, mm.
    pub width: Option<f64>,
    /// How deep a hem is, mm.
    pub hem: Option<f64>,
    pub included: Option<Included>,
}

const ALLOWANCE: &[&str] = &[
    "seam allowance",
    "seam allowances",
    "nahtzugabe",
    "nahtzugaben",
    "marge de couture",
    "marges de couture",
    "marges de coutures",
    "valeur de couture",
    "margen de costura",
    "margenes de costura",
    "margine di cucitura",
    "margini di cucitura",
    "naadtoeslag",
    "naadwaarde",
];

const NOT_INCLUDED: &[&str] = &[
    "not included",
    "no seam",
    "without",
    "add",
    "ohne",
    "nicht",
    "zzgl",
    "zuzuglich",
    "sans",
    "non compris",
    "non comprises",
    "non incluses",
    "ajouter",
    "sin",
    "no incluye",
    "no incluido",
    "no incluidos",
    "anadir",
    "senza",
    "esclusi",
    "escluso",
    "non compresi",
    "non inclusi",
    "aggiungere",
    "zonder",
    "exclusief",
    "excl",
    "niet inbegrepen",
    "toevoegen",
];

const INCLUDED: &[&str] = &[
    "included",
    "includes",
    "including",
    "incl",
    "enthalten",
    "inkl",
    "inklusive",
    "inbegriffen",
    "compris",
    "comprises",
    "incluse",
    "incluses",
    "inclus",
    "incluido",
    "incluidos",
    "incluye",
    "compresi",
    "inclusi",
    "incluso",
    "inclusief",
    "inbegrepen",
];

/// What a drawing says of its allowances, where it says anything.
pub(crate) fn said_allowance(found: &Found) -> Option<SaidAllowance> {
    found.texts.iter().find_map(|text| SaidAllowance::of(&text.text))
}

impl SaidAllowance {
    /// What a text says. Of its clauses those that name a hem say how deep that is.
    fn of(text: &str) -> Option<SaidAllowance> {
        if !holds_any(text, ALLOWANCE) {
            return None;
        }
        let included = match (holds_any(text, NOT_INCLUDED), holds_any(text, INCLUDED)) {
            (true, _) => Some(Included::No),
            (false, true) => Some(Included::Yes),
            (false, false) => None,
        };
        let is_of_hem = |clause: &&str| holds_any(clause, HEM) && !holds_any(clause, ALLOWANCE);
        let (of_hem, of_seams): (Vec<&str>, Vec<&str>) = clauses(text).into_iter().partition(is_of_hem);
        let first = |clauses: &[&str]| clauses.iter().flat_map(|clause| lengths_in(clause)).next();
        Some(SaidAllowance { width: first(&of_seams), hem: first(&of_hem), included })
    }
}

/// The parts of a text that stand between commas and words that mean "and". A comma within a number is none.
fn clauses(text: &str) -> Vec<&str> {
    const BETWEEN: [&str; 12] =
        [", ", "; ", " / ", " + ", " & ", " and ", " und ", " et ", " y ", " e ", " en ", " with "];
    let mut clauses = vec![text];
    for between in BETWEEN {
        clauses = clauses.into_iter().flat_map(|clause| clause.split(between)).collect();
    }
    clauses
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hem_is_no_allowance_of_seams() {
        let said = |text: &str| SaidAllowance::of(text).map(|said| (said.width, said.hem, said.included));
        let both = Some((Some(15.0), Some(40.0), Some(Included::Yes)));
        for text in [
            "Seam allowance 1.5 cm included, hem 4 cm",
            "Hem 4 cm, seam allowance 1,5 cm included",
            "1.5 cm seam allowance and 4 cm hem included",
            "Nahtzugabe 1,5 cm und Saum 4 cm enthalten",
            "Marge de couture de 1,5 cm et ourlet de 4 cm compris",
        ] {
            assert_eq!(said(text), both, "{text}");
        }
        assert_eq!(said("add seam allowance"), Some((None, None, Some(Included::No))));
        assert_eq!(said("hem 4 cm"), None);
    }
}
