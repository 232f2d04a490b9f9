//! What a pattern says otherwise than it should.

use serde::Serialize;

/// What something says otherwise than it should.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SaidOtherwise {
    /// Which of its attributes or texts; or what is wrong with it.
    pub what: String,
    /// What it should say, if anything.
    pub from: Option<String>,
    /// What it says, if anything.
    pub to: Option<String>,
}

/// The longest text that is told whole, in letters.
const TOLD_WHOLE: usize = 60;

impl SaidOtherwise {
    /// What it was and what it is.
    pub(super) fn sentence(&self) -> String {
        let shown = |text: &String| {
            let quoted = text.is_empty() || text.contains(' ');
            let text = match text.chars().nth(TOLD_WHOLE) {
                Some(_) => format!("{} …", text.chars().take(TOLD_WHOLE).collect::<String>()),
                None => text.clone(),
            };
            if quoted { format!("\"{text}\"") } else { text }
        };
        match (&self.from, &self.to) {
            (None, None) => self.what.clone(),
            (Some(from), None) => format!("{} {} → none", self.what, shown(from)),
            (None, Some(to)) => format!("{} none → {}", self.what, shown(to)),
            (Some(from), Some(to)) => format!("{} {} → {}", self.what, shown(from), shown(to)),
        }
    }
}
