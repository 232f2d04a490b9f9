//! Ways that fit, over HTTP.

use std::sync::Arc;

use axum::Router;
use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::table::fault::TableFault;
use crate::table::lay::taken_over;
use crate::table::plan::PlanRun;
use crate::table::plan::run::{AllPlanChoices, WaySeen};
use crate::table::plan::taste::{self, LimitSeen};
use crate::table::product::Product;
use crate::table::said::Remark;
use crate::table::shared::{
    ChoicesAsked, NothingAsked, Shared, answer, changed, choices_form, done, json, missing, work,
};
use crate::table::state::Table;

pub(in crate::table) fn routes() -> Router<Arc<Shared>> {
    Router::new()
        .route("/plan", get(seen))
        .route("/plan/form", get(|State(shared)| choices_form::<AllPlanChoices>(shared)))
        .route("/plan/begin", post(begin))
        .route("/plan/stop", post(stop))
        .route("/plan/take", post(take))
        .route("/plan/taste", post(keep_taste))
        .route("/plan/layout/{number}", get(layout))
}

/// What there is of a plan.
#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct PlanSeen {
    /// Whether a search runs.
    is_running: bool,
    /// What it says.
    says: Vec<Remark>,
    /// What was found: each where it was shown first while it is searched, then the best first.
    ways: Vec<WaySeen>,
    /// Whether they are ways of the pattern and the cloth as they lie on the table.
    can_be_taken: bool,
    /// What is said of taste.
    taste: Vec<LimitSeen>,
}

async fn seen(State(shared): State<Arc<Shared>>) -> Response {
    work(move || json(StatusCode::OK, &plan_seen(&shared))).await
}

fn plan_seen(shared: &Shared) -> PlanSeen {
    let (laid, taste) = {
        let table = shared.table();
        (table.laid(), table.taste())
    };
    let taste = taste::seen(taste.ok().flatten().as_deref());
    let none = |taste| PlanSeen {
        is_running: false,
        says: Vec::new(),
        ways: Vec::new(),
        can_be_taken: false,
        taste,
    };
    let Some(run) = shared.plan_run() else { return none(taste) };
    let so_far = run.so_far();
    let is_of_now = run.is_of(&laid);
    if so_far.is_over && !is_of_now {
        return none(taste);
    }
    PlanSeen {
        is_running: !so_far.is_over,
        says: so_far.says.clone(),
        ways: so_far.found.iter().map(|found| found.seen.clone()).collect(),
        can_be_taken: is_of_now,
        taste,
    }
}

async fn begin(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    done(&body, move |asked: ChoicesAsked| {
        let (laid, taste) = {
            let table = shared.table();
            (table.laid(), table.taste()?)
        };
        let run = Arc::new(PlanRun::of(&laid, &asked.said, taste.as_deref())?);
        shared.set_plan_run(Arc::clone(&run));
        shared.beside.begin(run.stop.clone(), move || run.search());
        Ok(json(StatusCode::OK, &plan_seen(&shared)))
    })
    .await
}

async fn stop(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    done(&body, move |_: NothingAsked| {
        shared.beside.stop();
        Ok(json(StatusCode::OK, &plan_seen(&shared)))
    })
    .await
}

/// Which way is taken, by its number in the search.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TakeAsked {
    revision: u64,
    number: usize,
}

async fn take(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    let run = shared.plan_run();
    changed(shared, &body, move |table, asked: TakeAsked| taken(table, run.as_deref(), &asked)).await
}

/// Takes a way as steps, and its layout.
fn taken(table: &mut Table, run: Option<&PlanRun>, asked: &TakeAsked) -> Result<(), TableFault> {
    let gone = || TableFault::refused("this way is not there any more", "look for ways again");
    let run = run.filter(|run| run.is_of(&table.laid())).ok_or_else(gone)?;
    let way = run.way(asked.number).ok_or_else(gone)?;
    run.stop.raise();
    let steps: Vec<Value> = way.steps.iter().map(crate::recut::Step::to_value).collect();
    table.keep_all(&steps, asked.revision)?;
    // A layout that cannot be kept is no reason not to have taken the way: it can be laid again.
    let _ = taken_over(table, &way, (run.stock(), run.grain()));
    Ok(())
}

async fn keep_taste(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    done(&body, move |asked: ChoicesAsked| {
        let laid = shared.table().laid();
        let text = taste::text(&asked.said)?.unwrap_or_default();
        taste::taste(&text, laid.pattern())?;
        shared.table().keep_taste(&text)?;
        Ok(json(StatusCode::OK, &plan_seen(&shared)))
    })
    .await
}

/// The layout of a way.
async fn layout(State(shared): State<Arc<Shared>>, Path(number): Path<usize>) -> Response {
    let look = move || match shared.plan_run().and_then(|run| run.layout(number)) {
        Some(svg) => answer(StatusCode::OK, Product::Layout.sort(), svg),
        None => missing("way"),
    };
    work(look).await
}
