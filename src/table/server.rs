//! The table over HTTP, to a page on the same machine.
//!
//! Everything is asked for and answered as JSON. Work is done on threads of its own; of trials of one page only the newest
//! is done.

use std::io;
use std::net::{Ipv4Addr, TcpListener};
use std::sync::Arc;

use axum::Router;
use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::recipe::OnOrOff;
use crate::table::cloth;
use crate::table::guard::{Guard, Key, guarded};
use crate::table::lay;
use crate::table::on_table::At;
use crate::table::page::{self, PageFile};
use crate::table::plan;
use crate::table::pointed::Pointing;
use crate::table::save;
use crate::table::shared::{PageSeen, Shared, answer, answered, changed, json, wished, work};
use crate::table::state::Table;
use crate::table::thing::Thing;
use crate::table::wish::Wish;

/// The most that is taken in with one wish, bytes: a step has a few hundred.
pub(super) const LARGEST_WISH: usize = 64 << 10;

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
    let lying = LyingTable::of(table);
    serve_at(door, lying.routes(), || lying.end())
}

/// Serves what answers at a door, to pages that know its key, until a signal to stop; then ends what still runs.
pub(super) fn serve_at(door: Door, routes: Router, end: impl FnOnce()) -> io::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_io().build()?;
    runtime.block_on(async {
        let port = door.listener.local_addr()?.port();
        let listener = tokio::net::TcpListener::from_std(door.listener)?;
        let service = behind(routes, door.key, port);
        let ended = tokio::select! {
            served = axum::serve(listener, service).into_future() => served,
            stopped = tokio::signal::ctrl_c() => stopped,
        };
        end();
        ended
    })
}

/// What answers, for pages that know a key, at a port.
pub(super) fn behind(routes: Router, key: Key, port: u16) -> Router {
    routes.layer(axum::middleware::from_fn_with_state(Guard { key, port }, guarded))
}

/// A table that lies, to whoever is let in.
pub(super) struct LyingTable {
    shared: Arc<Shared>,
}

impl LyingTable {
    pub(super) fn of(table: Table) -> LyingTable {
        LyingTable { shared: Arc::new(Shared::new(table)) }
    }

    pub(super) fn routes(&self) -> Router {
        routes(&self.shared)
    }

    /// What runs beside keeps what it found so far, and ends; whoever is writing holds the table, and is waited for.
    pub(super) fn end(&self) {
        self.shared.beside.end();
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
        .merge(save::serve::routes())
        .merge(lay::serve::routes())
        .merge(plan::serve::routes())
        .merge(cloth::serve::routes())
        .layer(DefaultBodyLimit::max(LARGEST_WISH))
        .with_state(Arc::clone(shared))
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
struct OffersAsked {
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
struct TrialAsked {
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
struct WishToKeep {
    /// What the page has seen.
    revision: u64,
    wish: Wish,
    #[serde(default)]
    at: At,
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
#[serde(rename_all = "kebab-case")]
struct TableRevision {
    revision: u64,
    /// How often a file was written that is made of what lies there.
    files: u64,
    /// Whether something runs beside the table.
    is_busy: bool,
}

async fn seen(State(shared): State<Arc<Shared>>) -> Response {
    work(move || json(StatusCode::OK, &shared.table().seen())).await
}

async fn revision(State(shared): State<Arc<Shared>>) -> Response {
    let look = move || {
        let is_busy = shared.beside.is_busy();
        let mut table = shared.table();
        table.look();
        json(
            StatusCode::OK,
            &TableRevision { revision: table.revision(), files: table.files_written(), is_busy },
        )
    };
    work(look).await
}

async fn lying(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    answered(shared, &body, |laid, asked: LyingAsked| laid.lying(asked.at)).await
}

async fn offers(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    answered(shared, &body, |laid, asked: OffersAsked| laid.offers(&asked.thing, asked.at)).await
}

async fn form(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    answered(shared, &body, |laid, asked: FormAsked| laid.form(asked.step.as_ref(), asked.at)).await
}

async fn place(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    answered(shared, &body, |laid, asked: PlaceAsked| laid.pointed(&asked.pointing, asked.at)).await
}

async fn tried(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    let trial: TrialAsked = match wished(&body) {
        Ok(trial) => trial,
        Err(refused) => return *refused,
    };
    shared.note(trial.page, trial.number);
    let do_it = move || {
        if !shared.is_newest(trial.page, trial.number) {
            return answer(StatusCode::NO_CONTENT, "text/plain", "");
        }
        let laid = shared.table().laid();
        json(StatusCode::OK, &laid.tried(&trial.wish, trial.at))
    };
    work(do_it).await
}

async fn keep(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    changed(shared, &body, |table, kept: WishToKeep| table.keep_at(&kept.wish, kept.at, kept.revision)).await
}

async fn undo(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    changed(shared, &body, |table, seen: PageSeen| table.undo(seen.revision)).await
}

async fn do_again(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    changed(shared, &body, |table, seen: PageSeen| table.do_again(seen.revision)).await
}

async fn turn(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    let do_it = |table: &mut Table, turned: Turned| {
        let turn = if turned.left_out { OnOrOff::Off } else { OnOrOff::On };
        table.turn(turned.number, turn, turned.revision)
    };
    changed(shared, &body, do_it).await
}

async fn put_aside(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    changed(shared, &body, |table, _: PageSeen| table.put_aside()).await
}
