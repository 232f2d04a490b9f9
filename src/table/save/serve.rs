//! What is saved, over HTTP.

use std::sync::Arc;

use axum::Router;
use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::http::header::{CONTENT_SECURITY_POLICY, HeaderValue};
use axum::response::Response;
use axum::routing::{get, post};
use serde::Serialize;

use crate::table::basis::Basis;
use crate::table::fault::TableFault;
use crate::table::product::Product;
use crate::table::said::Remark;
use crate::table::save::paper::{MadeFile, PaperAsked, PaperForm};
use crate::table::save::{ProductSeen, report};
use crate::table::shared::{NothingAsked, Shared, answer, done, json, missing, work};
use crate::table::state::LayoutThere;

/// What a file of the folder may do in a browser, whoever wrote it: nothing. Its own looks and pictures are within it.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox";

/// The same for a PDF: what shows it is shut out by a sandbox.
const POLICY_OF_PAPER: &str = "default-src 'none'; style-src 'unsafe-inline'; object-src 'self'";

/// What is said of a layout that does not go into the report.
const LAYOUT_LEFT_OUT: &str = "The layout in the folder is not of this pattern on this cloth: it is left out. Lay the pieces, and make the report again.";

pub(in crate::table) fn routes() -> Router<Arc<Shared>> {
    Router::new()
        .route("/saved", get(saved))
        .route("/saved/{file}", get(file))
        .route("/fitted/{file}", get(fitted_file))
        .route("/paper", get(paper_form).post(paper))
        .route("/report", post(report_made))
}

/// What there is in the folder.
#[derive(Serialize)]
struct FolderSeen {
    files: Vec<ProductSeen>,
    told: Vec<Remark>,
}

async fn saved(State(shared): State<Arc<Shared>>) -> Response {
    work(move || json(StatusCode::OK, &FolderSeen { files: shared.table().products(), told: Vec::new() }))
        .await
}

/// A file of the folder, of those that a table has there and no other.
async fn file(State(shared): State<Arc<Shared>>, Path(name): Path<String>) -> Response {
    work(move || product_of(&shared, &name, "file", |_| true, |bytes| bytes)).await
}

/// A drawing of the folder as large as the window that it is looked at in. The file itself is of true size.
async fn fitted_file(State(shared): State<Arc<Shared>>, Path(name): Path<String>) -> Response {
    let fitted =
        |bytes| String::from_utf8(bytes).map(|text| to_window(&text)).unwrap_or_default().into_bytes();
    work(move || product_of(&shared, &name, "drawing", |product| product.is_drawing(), fitted)).await
}

/// A file of the folder of the right sort as it is shown, which can do nothing in a browser.
fn product_of(
    shared: &Shared,
    name: &str,
    called: &str,
    is_right: impl Fn(&Product) -> bool,
    shown: impl Fn(Vec<u8>) -> Vec<u8>,
) -> Response {
    let product = Product::ALL.into_iter().find(|product| product.file() == name);
    let Some(product) = product.filter(is_right) else { return missing(called) };
    let Ok(Some(bytes)) = shared.table().product(product) else { return missing(called) };
    let mut answer = answer(StatusCode::OK, product.sort(), shown(bytes));
    let policy = if product == Product::Paper { POLICY_OF_PAPER } else { POLICY };
    answer.headers_mut().insert(CONTENT_SECURITY_POLICY, HeaderValue::from_static(policy));
    answer
}

/// A drawing without the size that its first tag says: what is then left of that is its box, which fills the window.
fn to_window(svg: &str) -> String {
    let Some(begin) = svg.find("<svg ") else { return svg.to_owned() };
    let end = svg[begin..].find('>').map_or(svg.len(), |end| begin + end);
    let mut tag = svg[begin..end].to_owned();
    for size in [" width=\"", " height=\""] {
        let Some(from) = tag.find(size) else { continue };
        let value = from + size.len();
        let Some(to) = tag[value..].find('"') else { continue };
        tag.replace_range(from..=value + to, "");
    }
    format!("{}{tag}{}", &svg[..begin], &svg[end..])
}

async fn paper_form(State(shared): State<Arc<Shared>>) -> Response {
    work(move || json(StatusCode::OK, &PaperForm::of(&shared.table().laid()))).await
}

async fn paper(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    done(&body, move |asked: PaperAsked| {
        let laid = shared.table().laid();
        kept(&shared, asked.made(&laid)?, laid.basis())
    })
    .await
}

async fn report_made(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    done(&body, move |_: NothingAsked| {
        let (laid, layout) = {
            let table = shared.table();
            (table.laid(), table.layout_there()?)
        };
        let (layout, left_out) = match layout {
            LayoutThere::None => (None, None),
            LayoutThere::OfNow(bytes) => (Some(bytes), None),
            LayoutThere::OfOther => (None, Some(Remark::bad(LAYOUT_LEFT_OUT))),
        };
        let mut made = report::made(&laid, layout.as_deref())?;
        made.told.extend(left_out);
        kept(&shared, made, laid.basis())
    })
    .await
}

/// Keeps a file that was made.
fn kept(shared: &Shared, made: MadeFile, of: Option<Basis>) -> Result<Response, TableFault> {
    let MadeFile { product, content, mut told } = made;
    let mut table = shared.table();
    let aside = table.write_product(product, &content, of)?;
    told.extend(aside.map(|name| Remark::plain(product.put_aside(&name))));
    Ok(json(StatusCode::OK, &FolderSeen { files: table.products(), told }))
}

#[cfg(test)]
mod tests {
    use super::to_window;

    #[test]
    fn only_the_size_of_the_whole_is_taken_away() {
        let svg =
            "<svg height=\"20mm\" viewBox=\"0 0 9 20\" width=\"9mm\"><rect width=\"9\" height=\"20\"/></svg>";
        assert_eq!(to_window(svg), "<svg viewBox=\"0 0 9 20\"><rect width=\"9\" height=\"20\"/></svg>");
        assert_eq!(to_window("no drawing"), "no drawing");
    }
}
