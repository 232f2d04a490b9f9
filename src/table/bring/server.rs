//! Bringing in over HTTP, to the same page as the table; behind it the table answers once it lies.

use std::io;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use axum::Router;
use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, Path, Request, State};
use axum::http::{Method, StatusCode};
use axum::response::Response;
use axum::routing::{get, post};
use serde::{Deserialize, Serialize};
use tower::ServiceExt;

use crate::adopt::{MapEdit, SizeChoice};
use crate::table::bring::reading::ToRead;
use crate::table::bring::state::Bring;
use crate::table::bring::thing::ThingAsked;
use crate::table::fault::TableFault;
use crate::table::folder::Folder;
use crate::table::guard::Key;
use crate::table::page::{BRING, PageFile};
use crate::table::recipe_text::begun;
use crate::table::said::Refused;
use crate::table::server::{BroughtIn, Door, LARGEST_WISH, LyingTable, behind, pages, serve_at};
use crate::table::shared::{PageSeen, answer, done, json, unkept, wished, work};
use crate::table::state::Table;

/// Lays a table in a folder.
type LayTable = Box<dyn Fn(Folder) -> Result<Table, TableFault> + Send + Sync>;

/// A drawing that is brought in, and the table that lies behind it.
pub struct Bringing {
    shared: Arc<SharedBringing>,
    largest: usize,
}

struct SharedBringing {
    bring: Mutex<Bring>,
    /// Where the folder is.
    path: PathBuf,
    /// The folder, until a table lies on it; nothing where another program holds it now.
    folder: Mutex<Option<Folder>>,
    table: Mutex<Option<LyingTable>>,
    lay: LayTable,
}

fn locked<T>(what: &Mutex<T>) -> MutexGuard<'_, T> {
    what.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Bringing {
    /// A drawing before there is a table: `lay` lays it in the folder. `largest` is how large a file may be that is dropped,
    /// bytes.
    pub fn begin(
        bring: Bring,
        folder: Folder,
        largest: usize,
        lay: impl Fn(Folder) -> Result<Table, TableFault> + Send + Sync + 'static,
    ) -> Bringing {
        Bringing::new(bring, Some(folder), None, largest, Box::new(lay))
    }

    /// A drawing of which the table lies already.
    #[must_use]
    pub fn behind(bring: Bring, table: Table, largest: usize) -> Bringing {
        let none = |_| Err(lies_already());
        Bringing::new(bring, None, Some(LyingTable::of(table)), largest, Box::new(none))
    }

    fn new(
        bring: Bring,
        folder: Option<Folder>,
        table: Option<LyingTable>,
        largest: usize,
        lay: LayTable,
    ) -> Bringing {
        let path = bring.folder().to_owned();
        let (bring, folder, table) = (Mutex::new(bring), Mutex::new(folder), Mutex::new(table));
        Bringing { shared: Arc::new(SharedBringing { bring, path, folder, table, lay }), largest }
    }

    /// As a service for pages that know a key, at a port. The drawing is being read from then on.
    pub fn router(&self, key: Key, port: u16) -> Router {
        behind(self.routes(), key, port)
    }

    fn routes(&self) -> Router {
        let reading = locked(&self.shared.bring).begin_reading();
        read_beside(&self.shared, reading);
        pages(&BRING)
            .route("/bring/there", get(there))
            .route("/bring/seen", get(seen))
            .route("/bring/revision", get(revision))
            .route("/bring/beneath", get(beneath))
            .route("/bring/thing", post(thing))
            .route("/bring/keep", post(keep))
            .route("/bring/size", post(size))
            .route("/bring/sizes", post(choose_again))
            .route("/bring/size-stays", post(leave_size))
            .route("/bring/unlock", post(unlock))
            .route("/bring/undo", post(undo))
            .route("/bring/again", post(do_again))
            .route("/bring/make", post(make))
            .route("/bring/dropped", post(dropped))
            .layer(DefaultBodyLimit::max(LARGEST_WISH))
            .route("/bring/drop", post(drop_file).layer(DefaultBodyLimit::max(self.largest)))
            .route("/bring/drop/{name}", post(drop_file).layer(DefaultBodyLimit::max(self.largest)))
            .fallback(behind_it)
            .with_state(Arc::clone(&self.shared))
    }
}

/// Serves a drawing, and the table once it lies, until a signal to stop. Wishes that are being kept are kept first.
///
/// # Errors
///
/// The door cannot be listened at.
pub fn serve_bringing(door: Door, bringing: &Bringing) -> io::Result<()> {
    serve_at(door, bringing.routes(), || {
        // Whoever is writing holds the drawing or the table.
        drop(locked(&bringing.shared.bring));
        if let Some(table) = &*locked(&bringing.shared.table) {
            table.end();
        }
    })
}

/// Reads a drawing on a thread of its own: until that is done the page is answered.
fn read_beside(shared: &Arc<SharedBringing>, reading: Option<ToRead>) {
    let Some(reading) = reading else { return };
    let shared = Arc::clone(shared);
    std::thread::spawn(move || {
        let read = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| reading.read()));
        let failed = || Refused::plain("the program failed, not your drawing", "report it with the drawing");
        locked(&shared.bring).end_reading(reading, read.unwrap_or_else(|_| Err(failed())));
    });
}

/// What the table answers; before it lies its address shows the drawing.
async fn behind_it(State(shared): State<Arc<SharedBringing>>, request: Request) -> Response {
    let table = locked(&shared.table).as_ref().map(LyingTable::routes);
    if let Some(table) = table {
        return table.oneshot(request).await.unwrap_or_else(|never| match never {});
    }
    let name = request.uri().path();
    let own = |file: &&PageFile| file.name == if name == "/" { "/bring" } else { name };
    let file = BRING.iter().chain(&crate::table::page::FILES).find(own);
    match file.filter(|_| request.method() == Method::GET) {
        Some(file) => answer(StatusCode::OK, file.sort, file.text),
        None => answer(StatusCode::NOT_FOUND, "text/plain", ""),
    }
}

#[derive(Serialize)]
struct DrawingRevision {
    revision: u64,
}

/// Where to go on.
#[derive(Serialize)]
struct TableMade {
    made: bool,
}

/// A change of the map.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct EditToKeep {
    revision: u64,
    edit: MapEdit,
}

/// A size; none where all lines are of one.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct SizeTaken {
    revision: u64,
    size: Option<SizeChoice>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Unlocked {
    password: String,
}

async fn there() -> Response {
    json(StatusCode::OK, &BroughtIn { there: true })
}

async fn seen(State(shared): State<Arc<SharedBringing>>) -> Response {
    work(move || json(StatusCode::OK, &locked(&shared.bring).seen())).await
}

async fn revision(State(shared): State<Arc<SharedBringing>>) -> Response {
    let look = move || {
        let mut bring = locked(&shared.bring);
        bring.look();
        json(StatusCode::OK, &DrawingRevision { revision: bring.revision() })
    };
    work(look).await
}

async fn beneath(State(shared): State<Arc<SharedBringing>>) -> Response {
    work(move || answer(StatusCode::OK, "image/svg+xml", locked(&shared.bring).beneath())).await
}

async fn thing(State(shared): State<Arc<SharedBringing>>, body: Bytes) -> Response {
    done(&body, move |asked: ThingAsked| Ok(json(StatusCode::OK, &locked(&shared.bring).thing(&asked)?)))
        .await
}

/// Does something, and shows what came of it, or why not.
async fn changed<T>(
    shared: Arc<SharedBringing>,
    body: &[u8],
    change: impl FnOnce(&mut Bring, T) -> Result<(), TableFault> + Send + 'static,
) -> Response
where
    T: for<'de> Deserialize<'de> + Send + 'static,
{
    done(body, move |asked| {
        let mut bring = locked(&shared.bring);
        change(&mut bring, asked)?;
        Ok(json(StatusCode::OK, &bring.seen()))
    })
    .await
}

async fn keep(State(shared): State<Arc<SharedBringing>>, body: Bytes) -> Response {
    changed(shared, &body, |bring, kept: EditToKeep| bring.keep(&kept.edit, kept.revision)).await
}

async fn size(State(shared): State<Arc<SharedBringing>>, body: Bytes) -> Response {
    changed(shared, &body, |bring, taken: SizeTaken| bring.take_size(taken.size.as_ref(), taken.revision))
        .await
}

async fn choose_again(State(shared): State<Arc<SharedBringing>>, body: Bytes) -> Response {
    changed(shared, &body, |bring, seen: PageSeen| bring.choose_again(seen.revision)).await
}

async fn leave_size(State(shared): State<Arc<SharedBringing>>, body: Bytes) -> Response {
    changed(shared, &body, |bring, seen: PageSeen| bring.leave_size(seen.revision)).await
}

async fn undo(State(shared): State<Arc<SharedBringing>>, body: Bytes) -> Response {
    changed(shared, &body, |bring, seen: PageSeen| bring.undo(seen.revision)).await
}

async fn do_again(State(shared): State<Arc<SharedBringing>>, body: Bytes) -> Response {
    changed(shared, &body, |bring, seen: PageSeen| bring.do_again(seen.revision)).await
}

async fn unlock(State(shared): State<Arc<SharedBringing>>, body: Bytes) -> Response {
    let asked: Unlocked = match wished(&body) {
        Ok(asked) => asked,
        Err(refused) => return *refused,
    };
    let unlock = move || {
        let reading = locked(&shared.bring).unlock(&asked.password);
        read_beside(&shared, reading);
        json(StatusCode::OK, &locked(&shared.bring).seen())
    };
    work(unlock).await
}

/// Refuses a drawing that is dropped where a table lies.
fn refuse_lying(shared: &SharedBringing) -> Result<(), TableFault> {
    match &*locked(&shared.table) {
        None => Ok(()),
        Some(_) => Err(lies_already()),
    }
}

fn lies_already() -> TableFault {
    TableFault::refused("a table lies here already", "begin another table for another drawing")
}

async fn drop_file(
    State(shared): State<Arc<SharedBringing>>,
    name: Option<Path<String>>,
    body: Bytes,
) -> Response {
    let name = name.map(|Path(name)| name).unwrap_or_default();
    let keep = move || {
        let kept = refuse_lying(&shared).and_then(|()| locked(&shared.bring).drop_file(&body, &name));
        match kept {
            Ok(()) => json(StatusCode::OK, &BroughtIn { there: true }),
            Err(fault) => unkept(fault),
        }
    };
    work(keep).await
}

async fn dropped(State(shared): State<Arc<SharedBringing>>) -> Response {
    let take = move || {
        if let Err(fault) = refuse_lying(&shared) {
            return unkept(fault);
        }
        if let Some(name) = locked(&shared.bring).dropped_sheet() {
            return lay(&shared, &name);
        }
        let reading = match locked(&shared.bring).take_dropped() {
            Ok(reading) => reading,
            Err(fault) => return unkept(fault),
        };
        read_beside(&shared, reading);
        let bring = locked(&shared.bring);
        json(StatusCode::OK, &bring.seen())
    };
    work(take).await
}

async fn make(State(shared): State<Arc<SharedBringing>>, body: Bytes) -> Response {
    let seen: PageSeen = match wished(&body) {
        Ok(seen) => seen,
        Err(refused) => return *refused,
    };
    let make = move || {
        let name = {
            let mut bring = locked(&shared.bring);
            match bring.make(seen.revision) {
                Ok(name) => name,
                Err(fault) => return unkept(fault),
            }
        };
        lay(&shared, name)
    };
    work(make).await
}

/// Lays a table of a pattern that stands in the folder; one that lies goes on by itself.
fn lay(shared: &SharedBringing, pattern: &str) -> Response {
    let mut table = locked(&shared.table);
    if table.is_none() {
        match laid(shared, pattern) {
            Ok(laid) => *table = Some(LyingTable::of(laid)),
            Err(fault) => return unkept(fault),
        }
    }
    json(StatusCode::OK, &TableMade { made: true })
}

/// A table of a pattern that stands in the folder. Where it cannot be laid all that was brought in stays, and the folder is
/// held again.
fn laid(shared: &SharedBringing, pattern: &str) -> Result<Table, TableFault> {
    let mut place = locked(&shared.folder);
    let mut folder = match place.take() {
        Some(folder) => folder,
        None => Folder::take(&shared.path)?,
    };
    folder.keep_so_far();
    if let Err(fault) = folder.begin(&begun(pattern)) {
        *place = Some(folder);
        return Err(fault.into());
    }
    (shared.lay)(folder).map_err(|fault| {
        // Where another program took it meanwhile, it is asked for again the next time.
        *place = Folder::take(&shared.path).ok();
        TableFault::refused(fault, "look at the drawing again")
    })
}
