//! The table over HTTP, to a page on the same machine.
//!
//! Everything is asked for and answered as JSON. Work is done on threads of its own; of trials of one page only the newest
//! is done.

use std::collections::HashMap;
use std::io;
use std::net::{Ipv4Addr, TcpListener};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use axum::Router;
use axum::body::{Body, Bytes};
use axum::extract::{DefaultBodyLimit, State};
use axum::http::header::CONTENT_TYPE;
use axum::http::{HeaderValue, StatusCode};
use axum::response::Response;
use axum::routing::{get, post};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::recipe::Turn;
use crate::table::fault::TableFault;
use crate::table::guard::{Guard, Key, guarded};
use crate::table::laid::{At, Laid};
use crate::table::page::{self, PageFile};
use crate::table::pointed::Pointing;
use crate::table::said::Answer;
use crate::table::state::Table;
use crate::table::thing::Thing;
use crate::table::wish::Wish;

/// The most that is taken in with one wish, bytes: a step has a few hundred.
const LARGEST_WISH: usize = 64 << 10;

/// Pages that are told apart, for which newer trials replace older ones.
const MOST_PAGES: usize = 64;

/// Where a table is to be reached.
pub struct Door {
    listener: TcpListener,
    key: Key,
}

impl Door {
    /// A door on this machine alone; on any free port with 0.
    ///
    /// # Errors
    ///
    /// The port is taken, or there is no randomness for a key.
    pub fn open(port: u16) -> io::Result<Door> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))?;
        listener.set_nonblocking(true)?;
        Ok(Door { listener, key: Key::random().map_err(io::Error::other)? })
    }

    /// The address, with the key.
    ///
    /// # Errors
    ///
    /// The system does not tell the port.
    pub fn address(&self) -> io::Result<String> {
        let port = self.listener.local_addr()?.port();
        Ok(format!("http://127.0.0.1:{port}/?key={}", self.key.text()))
    }
}

/// Serves a table until a signal to stop. Wishes that are being kept are kept first.
///
/// # Errors
///
/// The door cannot be listened at.
pub fn serve(door: Door, table: Table) -> io::Result<()> {
    let shared = Arc::new(Shared::new(table));
    serve_at(door, routes(&shared))?;
    // Whoever is writing holds the table.
    drop(shared.table());
    Ok(())
}

/// Serves what answers at a door, to pages that know its key, until a signal to stop.
pub(super) fn serve_at(door: Door, routes: Router) -> io::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_io().build()?;
    runtime.block_on(async {
        let port = door.listener.local_addr()?.port();
        let listener = tokio::net::TcpListener::from_std(door.listener)?;
        let service = behind(routes, door.key, port);
        tokio::select! {
            served = axum::serve(listener, service).into_future() => served,
            stopped = tokio::signal::ctrl_c() => stopped,
        }
    })
}

/// What answers, for pages that know a key, at a port.
pub(super) fn behind(routes: Router, key: Key, port: u16) -> Router {
    routes.layer(axum::middleware::from_fn_with_state(Guard { key, port }, guarded))
}

/// A table that lies, to whoever is let in.
pub(super) struct Lying {
    shared: Arc<Shared>,
}

impl Lying {
    pub(super) fn of(table: Table) -> Lying {
        Lying { shared: Arc::new(Shared::new(table)) }
    }

    pub(super) fn routes(&self) -> Router {
        routes(&self.shared)
    }

    /// Waits for whoever is writing.
    pub(super) fn wait(&self) {
        drop(self.shared.table());
    }
}

/// The table as a service for pages that know a key, at a port.
pub fn router(table: Table, key: Key, port: u16) -> Router {
    behind(routes(&Arc::new(Shared::new(table))), key, port)
}

/// The files of the page.
pub(super) fn pages<S: Clone + Send + Sync + 'static>(files: &'static [PageFile]) -> Router<S> {
    files.iter().fold(Router::new(), |router, file| {
        router.route(file.name, get(move || async { answer(StatusCode::OK, file.sort, file.text) }))
    })
}

fn routes(shared: &Arc<Shared>) -> Router {
    pages(&page::FILES)
        .route("/bring/there", get(|| async { json(StatusCode::OK, &BroughtIn { there: false }) }))
        .route("/seen", get(seen))
        .route("/revision", get(revision))
        .route("/lying", post(lying))
        .route("/offers", post(offers))
        .route("/form", post(form))
        .route("/place", post(place))
        .route("/try", post(tried))
        .route("/keep", post(keep))
        .route("/undo", post(undo))
        .route("/again", post(do_again))
        .route("/turn", post(turn))
        .route("/aside", post(put_aside))
        .layer(DefaultBodyLimit::max(LARGEST_WISH))
        .with_state(Arc::clone(shared))
}

/// What all requests share.
struct Shared {
    table: Mutex<Table>,
    /// The newest trial of each page.
    newest: Mutex<HashMap<u64, u64>>,
}

impl Shared {
    fn new(table: Table) -> Shared {
        Shared { table: Mutex::new(table), newest: Mutex::new(HashMap::new()) }
    }

    /// The table. One whose last wish ended in a fault of the program stands as it was before it: what is laid is replaced
    /// whole.
    fn table(&self) -> MutexGuard<'_, Table> {
        self.table.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Notes a trial as the newest of its page.
    fn note(&self, trial: &Trial) {
        let mut newest = self.newest.lock().unwrap_or_else(PoisonError::into_inner);
        if newest.len() >= MOST_PAGES && !newest.contains_key(&trial.page) {
            newest.clear();
        }
        let number = newest.entry(trial.page).or_default();
        *number = trial.number.max(*number);
    }

    fn is_newest(&self, trial: &Trial) -> bool {
        let newest = self.newest.lock().unwrap_or_else(PoisonError::into_inner);
        newest.get(&trial.page).is_none_or(|number| *number <= trial.number)
    }
}

/// Where in the recipe it is asked what lies there.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct LyingAsked {
    at: At,
}

/// What is asked of a thing.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Asked {
    thing: Thing,
    #[serde(default)]
    at: At,
}

/// What form is asked for.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct FormAsked {
    step: Option<Value>,
    #[serde(default)]
    at: At,
}

/// What place is asked for.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct PlaceAsked {
    pointing: Pointing,
    #[serde(default)]
    at: At,
}

/// Something to be tried.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Trial {
    /// Which page asks.
    page: u64,
    /// How many it asked before.
    number: u64,
    wish: Wish,
    #[serde(default)]
    at: At,
}

/// Something to be kept.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Kept {
    /// What the page has seen.
    revision: u64,
    wish: Wish,
    #[serde(default)]
    at: At,
}

/// What the page has seen.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Seen {
    revision: u64,
}

/// A step to be left out or put back.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct Turned {
    revision: u64,
    number: usize,
    left_out: bool,
}

/// Whether the pattern was brought in from a drawing that can be gone back to.
#[derive(Serialize)]
pub(super) struct BroughtIn {
    pub(super) there: bool,
}

#[derive(Serialize)]
struct Revision {
    revision: u64,
}

/// Why nothing was kept.
#[derive(Serialize)]
struct Unkept {
    refused: Answer,
}

async fn seen(State(shared): State<Arc<Shared>>) -> Response {
    work(move || json(StatusCode::OK, &shared.table().seen())).await
}

async fn revision(State(shared): State<Arc<Shared>>) -> Response {
    let look = move || {
        let mut table = shared.table();
        table.look();
        json(StatusCode::OK, &Revision { revision: table.revision() })
    };
    work(look).await
}

async fn lying(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    answered(shared, &body, |laid, asked: LyingAsked| laid.lying(asked.at)).await
}

async fn offers(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    answered(shared, &body, |laid, asked: Asked| laid.offers(&asked.thing, asked.at)).await
}

async fn form(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    answered(shared, &body, |laid, asked: FormAsked| laid.form(asked.step.as_ref(), asked.at)).await
}

async fn place(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    answered(shared, &body, |laid, asked: PlaceAsked| laid.pointed(&asked.pointing, asked.at)).await
}

/// Answers a question about what lies on the table.
async fn answered<T, S: Serialize>(
    shared: Arc<Shared>,
    body: &[u8],
    question: impl FnOnce(&Laid, T) -> Result<S, Answer> + Send + 'static,
) -> Response
where
    T: for<'de> Deserialize<'de> + Send + 'static,
{
    let asked: T = match wished(body) {
        Ok(asked) => asked,
        Err(refused) => return *refused,
    };
    let look = move || {
        let laid = shared.table().laid();
        match question(&laid, asked) {
            Ok(told) => json(StatusCode::OK, &told),
            Err(refused) => json(StatusCode::OK, &Unkept { refused }),
        }
    };
    work(look).await
}

async fn tried(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    let trial: Trial = match wished(&body) {
        Ok(trial) => trial,
        Err(refused) => return *refused,
    };
    shared.note(&trial);
    let do_it = move || {
        if !shared.is_newest(&trial) {
            return answer(StatusCode::NO_CONTENT, "text/plain", "");
        }
        let laid = shared.table().laid();
        json(StatusCode::OK, &laid.tried(&trial.wish, trial.at))
    };
    work(do_it).await
}

async fn keep(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    changed(shared, &body, |table, kept: Kept| table.keep_at(&kept.wish, kept.at, kept.revision)).await
}

async fn undo(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    changed(shared, &body, |table, seen: Seen| table.undo(seen.revision)).await
}

async fn do_again(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    changed(shared, &body, |table, seen: Seen| table.do_again(seen.revision)).await
}

async fn turn(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    let do_it = |table: &mut Table, turned: Turned| {
        let turn = if turned.left_out { Turn::Off } else { Turn::On };
        table.turn(turned.number, turn, turned.revision)
    };
    changed(shared, &body, do_it).await
}

async fn put_aside(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    changed(shared, &body, |table, _: Seen| table.put_aside()).await
}

/// Changes the table, and answers with what is seen then, or why not.
async fn changed<T>(
    shared: Arc<Shared>,
    body: &[u8],
    change: impl FnOnce(&mut Table, T) -> Result<(), TableFault> + Send + 'static,
) -> Response
where
    T: for<'de> Deserialize<'de> + Send + 'static,
{
    let wish: T = match wished(body) {
        Ok(wish) => wish,
        Err(refused) => return *refused,
    };
    let do_it = move || {
        let mut table = shared.table();
        match change(&mut table, wish) {
            Ok(()) => json(StatusCode::OK, &table.seen()),
            // That a wish is refused is an answer like any other.
            Err(TableFault::Refused(refused)) => json(StatusCode::OK, &Unkept { refused }),
            Err(fault) => {
                let refused = Answer::plain(fault, "nothing was kept: mend it and do it again");
                json(StatusCode::INTERNAL_SERVER_ERROR, &refused)
            }
        }
    };
    work(do_it).await
}

pub(super) fn wished<T: for<'de> Deserialize<'de>>(body: &[u8]) -> Result<T, Box<Response>> {
    serde_json::from_slice(body).map_err(|error| {
        let what = format!("the wish cannot be read: {error}");
        Box::new(json(StatusCode::BAD_REQUEST, &Answer::plain(what, "load the page anew")))
    })
}

/// Does work on a thread of its own. A fault of the program in it ends neither the server nor the table.
pub(super) async fn work(what: impl FnOnce() -> Response + Send + 'static) -> Response {
    tokio::task::spawn_blocking(what).await.unwrap_or_else(|_| {
        let what = "the program failed, not your pattern";
        let refused = Answer::plain(what, "report it with the recipe; nothing was kept");
        json(StatusCode::INTERNAL_SERVER_ERROR, &refused)
    })
}

pub(super) fn json(status: StatusCode, data: &impl Serialize) -> Response {
    let text = serde_json::to_string(data).unwrap_or_default();
    answer(status, "application/json", text)
}

pub(super) fn answer(status: StatusCode, sort: &'static str, text: impl Into<Body>) -> Response {
    let mut answer = Response::new(text.into());
    *answer.status_mut() = status;
    answer.headers_mut().insert(CONTENT_TYPE, HeaderValue::from_static(sort));
    answer
}
