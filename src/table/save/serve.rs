//! What is saved, over HTTP.

use std::sync::Arc;

use axum::Router;
use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::http::header::{CONTENT_SECURITY_POLICY, HeaderValue};
use axum::response::Response;
use axum::routing::{get, post};
use serde::{Deserialize, Serialize};

use crate::table::said::{Answer, Line};
use crate::table::save::paper::{MadeFile, PaperAsked, PaperForm};
use crate::table::save::{Product, ProductSeen, report};
use crate::table::shared::{Shared, answer, json, refusal, wished, work};

/// What a file of the folder may do in a browser, whoever wrote it: nothing. Its own looks and pictures are within it.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox";

/// The same for a PDF: what shows it is shut out by a sandbox.
const POLICY_OF_PAPER: &str = "default-src 'none'; style-src 'unsafe-inline'; object-src 'self'";

pub(in crate::table) fn routes() -> Router<Arc<Shared>> {
    Router::new()
        .route("/saved", get(saved))
        .route("/saved/{file}", get(file))
        .route("/paper", get(paper_form).post(paper))
        .route("/report", post(report_made))
}

/// What there is in the folder.
#[derive(Serialize)]
struct Saved {
    files: Vec<ProductSeen>,
    told: Vec<Line>,
}

async fn saved(State(shared): State<Arc<Shared>>) -> Response {
    work(move || json(StatusCode::OK, &Saved { files: shared.table().products(), told: Vec::new() })).await
}

/// A file of the folder, of those that a table has there and no other.
async fn file(State(shared): State<Arc<Shared>>, Path(name): Path<String>) -> Response {
    let look = move || {
        let product = Product::ALL.into_iter().find(|product| product.file() == name);
        let none = || answer(StatusCode::NOT_FOUND, "text/plain; charset=utf-8", "there is no such file\n");
        let Some(product) = product else { return none() };
        let Ok(Some(bytes)) = shared.table().product(product) else { return none() };
        let mut answer = answer(StatusCode::OK, product.sort(), bytes);
        let policy = if product == Product::Paper { POLICY_OF_PAPER } else { POLICY };
        answer.headers_mut().insert(CONTENT_SECURITY_POLICY, HeaderValue::from_static(policy));
        answer
    };
    work(look).await
}

async fn paper_form(State(shared): State<Arc<Shared>>) -> Response {
    work(move || json(StatusCode::OK, &PaperForm::of(&shared.table().laid()))).await
}

async fn paper(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    let asked: PaperAsked = match wished(&body) {
        Ok(asked) => asked,
        Err(refused) => return *refused,
    };
    work(move || {
        let laid = shared.table().laid();
        kept(&shared, asked.made(&laid).map(|made| (made, laid.recipe().to_owned())))
    })
    .await
}

/// What is asked of a report: nothing.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ReportAsked {}

async fn report_made(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    let _: ReportAsked = match wished(&body) {
        Ok(asked) => asked,
        Err(refused) => return *refused,
    };
    work(move || {
        let (laid, layout) = {
            let table = shared.table();
            (table.laid(), table.product(Product::Layout))
        };
        let made = match layout {
            Ok(layout) => report::made(&laid, layout.as_deref()),
            Err(fault) => Err(Answer::plain(fault, "look at the folder, and do it again")),
        };
        kept(&shared, made.map(|made| (made, laid.recipe().to_owned())))
    })
    .await
}

/// Keeps a file that was made of a recipe.
fn kept(shared: &Shared, made: Result<(MadeFile, String), Answer>) -> Response {
    let (MadeFile { product, content, mut told }, recipe) = match made {
        Ok(made) => made,
        Err(refused) => return refusal(refused),
    };
    let mut table = shared.table();
    match table.write_product(product, (&content, &recipe)) {
        Ok(aside) => {
            told.extend(aside.map(|name| Line::plain(product.put_aside(&name))));
            json(StatusCode::OK, &Saved { files: table.products(), told })
        }
        Err(fault) => refusal(Answer::plain(fault, "nothing was written: mend it and do it again")),
    }
}
