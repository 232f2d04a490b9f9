//! The page that tells the job.

use crate::pattern::Refusal;
use crate::resew::DrawnPattern;
use crate::sheet::{self, ReadOptions, Sheet};
use crate::show::picture::PictureError;
use crate::show::report::{Layout, Report, ReportError};
use crate::table::on_table::OnTable;
use crate::table::product::Product;
use crate::table::said::{Refused, Remark};
use crate::table::save::paper::MadeFile;

/// The page, as `report` makes it of the sheet in the folder, the pattern that it was made from, and the layout if there is
/// one.
pub(super) fn made(laid: &OnTable, layout: Option<&[u8]>) -> Result<MadeFile, Refused> {
    let now = laid.as_read()?;
    let before = before(laid)?;
    let title = now.pattern.about.title.clone();
    let title = title.unwrap_or_else(|| Product::Sheet.stem().to_owned());
    let layout = layout.map(read_layout).transpose()?;
    let report = Report::of(title, drawn(&now), Some(drawn(&before)), laid.unit)
        .map_err(|error| refused(&error))?
        .with_layouts(layout.into_iter().collect());
    let content = report.html().map_err(|error| refused(&error))?.into_bytes();
    let untrue = report.verdict().sentence(laid.unit).map(|sentence| format!("Not true: {sentence}."));
    let unsewn = (!report.can_be_sewn())
        .then(|| "It cannot be sewn as it is declared: see the page, under Before you cut.".to_owned());
    let told = untrue.into_iter().chain(unsewn).map(Remark::bad).collect();
    Ok(MadeFile { product: Product::Report, content, told })
}

fn drawn(sheet: &Sheet) -> DrawnPattern<'_> {
    DrawnPattern { pattern: &sheet.pattern, snapped: &sheet.snapped }
}

fn before(laid: &OnTable) -> Result<Sheet, Refused> {
    let file = &laid.made.base.file;
    let unread = |why: String| {
        let what = format!("the pattern {} cannot be read: {why}", file.display());
        Refused::plain(what, "put it back where it was")
    };
    let bytes = std::fs::read(file).map_err(|error| unread(error.to_string()))?;
    sheet::read(&bytes, &ReadOptions::default()).map_err(|error| unread(error.to_string()))
}

fn read_layout(bytes: &[u8]) -> Result<Layout, Refused> {
    let unread = |why: String| {
        Refused::plain(format!("{} cannot be read: {why}", Product::Layout.file()), "lay the pieces again")
    };
    let text = std::str::from_utf8(bytes).map_err(|error| unread(error.to_string()))?;
    Layout::read(Product::Layout.file(), text).map_err(|error| unread(error.to_string()))
}

fn refused(error: &ReportError) -> Refused {
    match error {
        ReportError::Unsound(refusal) => Refused::of(refusal, None),
        ReportError::Picture(PictureError::Allowance(error)) => {
            Refused::of(&Refusal::from(error.clone()), None)
        }
        ReportError::Picture(_) => Refused::plain(error, "look at what stands beside the pieces"),
        ReportError::OtherHistory(_) => {
            Refused::plain(error, "put the pattern back that the recipe begins with")
        }
    }
}
