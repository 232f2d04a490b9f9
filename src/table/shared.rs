//! What all requests share, and how each is read, worked on and answered.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use axum::body::Body;
use axum::http::header::CONTENT_TYPE;
use axum::http::{HeaderValue, StatusCode};
use axum::response::Response;
use clap::Args;
use serde::{Deserialize, Serialize};

use crate::table::beside::Beside;
use crate::table::chosen::{FormSaid, fields};
use crate::table::fault::TableFault;
use crate::table::lay::LayRun;
use crate::table::on_table::OnTable;
use crate::table::plan::PlanRun;
use crate::table::said::Refused;
use crate::table::state::Table;

/// Pages that are told apart, for which newer trials replace older ones.
const MOST_PAGES: usize = 64;

/// What all requests share.
pub(super) struct Shared {
    table: Mutex<Table>,
    /// The newest trial of each page.
    newest: Mutex<HashMap<u64, u64>>,
    /// What runs beside it.
    pub(super) beside: Beside,
    /// The search for a layout that was begun last.
    lay_run: Mutex<Option<Arc<LayRun>>>,
    /// The search for ways that fit that was begun last.
    plan_run: Mutex<Option<Arc<PlanRun>>>,
}

impl Shared {
    pub(super) fn new(table: Table) -> Shared {
        Shared {
            table: Mutex::new(table),
            newest: Mutex::default(),
            beside: Beside::default(),
            lay_run: Mutex::default(),
            plan_run: Mutex::default(),
        }
    }

    /// The table. One whose last wish ended in a fault of the program stands as it was before it: what is laid is replaced
    /// whole.
    pub(super) fn table(&self) -> MutexGuard<'_, Table> {
        self.table.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The search for a layout that was begun last.
    pub(super) fn lay_run(&self) -> Option<Arc<LayRun>> {
        self.lay_run.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Says which search for a layout was begun last.
    pub(super) fn set_lay_run(&self, run: Arc<LayRun>) {
        *self.lay_run.lock().unwrap_or_else(PoisonError::into_inner) = Some(run);
    }

    /// The search for ways that fit that was begun last.
    pub(super) fn plan_run(&self) -> Option<Arc<PlanRun>> {
        self.plan_run.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Says which search for ways that fit was begun last.
    pub(super) fn set_plan_run(&self, run: Arc<PlanRun>) {
        *self.plan_run.lock().unwrap_or_else(PoisonError::into_inner) = Some(run);
    }

    /// Notes a trial as the newest of its page.
    pub(super) fn note(&self, page: u64, trial: u64) {
        let mut newest = self.newest.lock().unwrap_or_else(PoisonError::into_inner);
        if newest.len() >= MOST_PAGES && !newest.contains_key(&page) {
            newest.clear();
        }
        let number = newest.entry(page).or_default();
        *number = trial.max(*number);
    }

    pub(super) fn is_newest(&self, page: u64, trial: u64) -> bool {
        let newest = self.newest.lock().unwrap_or_else(PoisonError::into_inner);
        newest.get(&page).is_none_or(|number| *number <= trial)
    }
}

/// What the page has seen.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PageSeen {
    pub(super) revision: u64,
}

/// Why nothing was kept.
#[derive(Serialize)]
struct Unkept {
    refused: Refused,
}

/// Answers a question about what lies on the table.
pub(super) async fn answered<T, S: Serialize>(
    shared: Arc<Shared>,
    body: &[u8],
    question: impl FnOnce(&OnTable, T) -> Result<S, Refused> + Send + 'static,
) -> Response
where
    T: for<'de> Deserialize<'de> + Send + 'static,
{
    done(body, move |asked| {
        let laid = shared.table().laid();
        Ok(json(StatusCode::OK, &question(&laid, asked)?))
    })
    .await
}

/// Changes the table, and answers with what is seen then, or why not.
pub(super) async fn changed<T>(
    shared: Arc<Shared>,
    body: &[u8],
    change: impl FnOnce(&mut Table, T) -> Result<(), TableFault> + Send + 'static,
) -> Response
where
    T: for<'de> Deserialize<'de> + Send + 'static,
{
    done(body, move |wish| {
        let mut table = shared.table();
        change(&mut table, wish)?;
        Ok(json(StatusCode::OK, &table.seen()))
    })
    .await
}

/// Reads what is wished, and does it on a thread of its own; answers with what came of it, or why nothing did.
pub(super) async fn done<T>(
    body: &[u8],
    what: impl FnOnce(T) -> Result<Response, TableFault> + Send + 'static,
) -> Response
where
    T: for<'de> Deserialize<'de> + Send + 'static,
{
    let wish: T = match wished(body) {
        Ok(wish) => wish,
        Err(refused) => return *refused,
    };
    work(move || what(wish).unwrap_or_else(unkept)).await
}

/// Why nothing was kept: that a wish is refused, or a file cannot be written, is an answer like any other.
pub(super) fn unkept(fault: TableFault) -> Response {
    let refused = match fault {
        TableFault::Refused(refused) => refused,
        fault => Refused::plain(fault, "nothing was kept: mend it and do it again"),
    };
    json(StatusCode::OK, &Unkept { refused })
}

/// What is chosen of a command.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ChoicesAsked {
    pub(super) said: FormSaid,
}

/// Nothing more is asked.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct NothingAsked {}

/// The form of a command's choices.
pub(super) async fn choices_form<T: Args>(shared: Arc<Shared>) -> Response {
    work(move || json(StatusCode::OK, &fields::<T>(shared.table().laid().pattern()))).await
}

pub(super) fn wished<T: for<'de> Deserialize<'de>>(body: &[u8]) -> Result<T, Box<Response>> {
    serde_json::from_slice(body).map_err(|error| {
        let what = format!("what was asked cannot be read: {error}");
        Box::new(json(StatusCode::BAD_REQUEST, &Refused::plain(what, "load the page anew")))
    })
}

/// Does work on a thread of its own. A fault of the program in it ends neither the server nor the table.
pub(super) async fn work(what: impl FnOnce() -> Response + Send + 'static) -> Response {
    tokio::task::spawn_blocking(what).await.unwrap_or_else(|_| {
        let what = "the program failed, not your pattern";
        let refused = Refused::plain(what, "report it with the recipe; nothing was kept");
        json(StatusCode::INTERNAL_SERVER_ERROR, &refused)
    })
}

pub(super) fn json(status: StatusCode, data: &impl Serialize) -> Response {
    let text = serde_json::to_string(data).unwrap_or_default();
    answer(status, "application/json", text)
}

/// That something which was asked for is not there.
pub(super) fn missing(what: &str) -> Response {
    answer(StatusCode::NOT_FOUND, "text/plain; charset=utf-8", format!("there is no such {what}\n"))
}

pub(super) fn answer(status: StatusCode, sort: &'static str, text: impl Into<Body>) -> Response {
    let mut answer = Response::new(text.into());
    *answer.status_mut() = status;
    answer.headers_mut().insert(CONTENT_TYPE, HeaderValue::from_static(sort));
    answer
}
