//! The pattern on paper.

use serde::{Deserialize, Serialize};

use crate::pattern::Refusal;
use crate::show::print::{BAR, Print, PrintChoices, PrintError};
use crate::table::chosen::{FormSaid, chosen, fields};
use crate::table::form::FormField;
use crate::table::on_table::OnTable;
use crate::table::product::Product;
use crate::table::said::{Refused, Remark};
use crate::units::Length;

/// The field of the printer's correction, which is asked for as what the bars measured.
const MEASURED: &str = "measured";

/// The form of a print.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PaperForm {
    /// What the bars measure where the printer is right.
    bar: String,
    /// All else that may be chosen.
    fields: Vec<FormField>,
}

/// What is asked of a print.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PaperAsked {
    /// What is chosen.
    said: FormSaid,
    /// What the bars measured across and down; empty where the printer is right.
    bars: [String; 2],
}

/// A file that was made, and what is to be known of it.
pub(super) struct MadeFile {
    pub(super) product: Product,
    pub(super) content: Vec<u8>,
    pub(super) told: Vec<Remark>,
}

impl PaperForm {
    pub(super) fn of(laid: &OnTable) -> PaperForm {
        let fields = fields::<PrintChoices>(laid.pattern());
        let fields = fields.into_iter().filter(|field| field.name != MEASURED).collect();
        PaperForm { bar: Length::from_mm(BAR).to_string(), fields }
    }
}

impl PaperAsked {
    /// The PDF, as `print` makes it of the sheet in the folder.
    pub(super) fn made(&self, laid: &OnTable) -> Result<MadeFile, Refused> {
        let choices: PrintChoices = chosen(&self.said_with_bars()?)?;
        let sheet = laid.as_read()?;
        let options = choices.options(&sheet.pattern, Some(Product::Sheet.stem()), laid.unit);
        let print = Print::of(&sheet.pattern, &options).map_err(|error| refused(&error))?;
        let content = print.pdf().map_err(|error| refused(&error))?;
        let plain = print.pages_told(&options).into_iter().chain(print.correction_told(&options));
        let warned = print.letters_missing().into_iter();
        let untrue = print.verdict.sentence(laid.unit).map(|sentence| format!("not true: {sentence}"));
        let plain = plain.chain([print.how_to_measure().to_owned()]).map(Remark::plain);
        let told = untrue.into_iter().chain(warned).map(Remark::bad).chain(plain).collect();
        Ok(MadeFile { product: Product::Paper, content, told })
    }

    fn said_with_bars(&self) -> Result<FormSaid, Refused> {
        let [across, down] = self.bars.each_ref().map(|bar| bar.trim());
        let mut said = self.said.clone();
        if said.contains_key(MEASURED) {
            return Err(Refused::plain("the bars are given twice", "load the page anew"));
        }
        match (across.is_empty(), down.is_empty()) {
            (true, true) => {}
            (false, false) => {
                let measured = format!("{}={across} x {down}", Length::from_mm(BAR));
                said.insert(MEASURED.to_owned(), measured);
            }
            _ => return Err(Refused::plain("one of the two bars is missing", "measure both, or none")),
        }
        Ok(said)
    }
}

fn refused(error: &PrintError) -> Refused {
    match error {
        PrintError::Allowance(error) => Refused::of(&Refusal::from(error.clone()), None),
        PrintError::Unknown(refusal) => Refused::of(refusal, None),
        PrintError::LayoutWithoutMap => Refused::plain(error, "let it run over several sheets: tiled"),
        PrintError::Nothing => Refused::plain(error, "lay a pattern with pieces on the table"),
        PrintError::Face(_) => Refused::plain(error, "report it with the recipe; nothing was written"),
        PrintError::PaperTooSmall { .. } => {
            Refused::plain(error, "take a larger paper, or a smaller margin or overlap")
        }
        PrintError::PieceTooLarge { .. } => Refused::plain(
            error,
            "take a larger paper, a wider roll, or let it run over several sheets: tiled",
        ),
    }
}
