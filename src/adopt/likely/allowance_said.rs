//! What the writing of a drawing says of its allowances: how wide they are, and whether they are drawn.

use crate::adopt::found::Found;
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
    pub width: Option<f64>,
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
    found.texts.iter().find_map(|text| {
        let text = text.text.as_str();
        if !holds_any(text, ALLOWANCE) {
            return None;
        }
        let included = match (holds_any(text, NOT_INCLUDED), holds_any(text, INCLUDED)) {
            (true, _) => Some(Included::No),
            (false, true) => Some(Included::Yes),
            (false, false) => None,
        };
        let width = lengths_in(text).first().copied();
        Some(SaidAllowance { width, included })
    })
}
