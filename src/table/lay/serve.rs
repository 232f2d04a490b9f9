//! The layout, over HTTP.

use std::sync::Arc;

use axum::Router;
use axum::body::Bytes;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use serde::{Deserialize, Serialize};

use crate::cloth::Cloth;
use crate::table::cloth_drawn::grounds;
use crate::table::lay::LayRun;
use crate::table::lay::choices::AllLayChoices;
use crate::table::lay::hand::CopyInHand;
use crate::table::lay::keeping::Ready;
use crate::table::lay::kept::LaidOut;
use crate::table::lay::run::{no_cloth, refused};
use crate::table::lay::seen::{CopySeen, Fineness, copy_seen, told};
use crate::table::on_table::OnTable;
use crate::table::said::{Refused, Remark};
use crate::table::shared::{
    ChoicesAsked, NothingAsked, Shared, answer, choices_form, done, json, unkept, wished, work,
};
use crate::table::state::Table;

pub(in crate::table) fn routes() -> Router<Arc<Shared>> {
    Router::new()
        .route("/lay", get(seen))
        .route("/lay/form", get(|State(shared)| choices_form::<AllLayChoices>(shared)))
        .route("/lay/begin", post(begin))
        .route("/lay/stop", post(stop))
        .route("/lay/try", post(tried))
        .route("/lay/keep", post(keep))
        .route("/lay/back", post(back))
}

/// What there is of a layout.
#[derive(Default, Serialize)]
#[serde(rename_all = "kebab-case")]
struct LaySeen {
    /// Whether a search runs.
    is_running: bool,
    /// What the search says.
    says: Option<Remark>,
    /// What lies on the cloth: of the search while it runs.
    copies: Vec<CopySeen>,
    /// What is used, and what meets.
    told: Vec<Remark>,
    /// Its number, which who changes it names.
    number: u64,
    /// Whether it can be changed by hand.
    is_kept: bool,
    /// Whether the last move can be taken back.
    can_take_back: bool,
    /// Whether the cloth has a pattern that can meet at a seam.
    can_match: bool,
}

async fn seen(State(shared): State<Arc<Shared>>) -> Response {
    work(move || json(StatusCode::OK, &lay_seen(&shared))).await
}

fn lay_seen(shared: &Shared) -> LaySeen {
    let (laid, layout, number, can_take_back) = {
        let mut table = shared.table();
        (table.laid(), table.layout(), table.layout_number(), table.can_take_back_move())
    };
    let Some(stock) = laid.stock.as_deref() else { return LaySeen::default() };
    let grounds = grounds(laid.as_it_lies(), stock);
    let plain = LaySeen { number, can_match: stock.cloths().any(Cloth::has_pattern), ..LaySeen::default() };
    let run = shared.lay_run();
    let (is_running, says, best) = run.as_ref().map_or((false, None, Vec::new()), |run| {
        let so_far = run.so_far();
        // What an ended search says is of what it searched on, and of nothing else.
        let says = (!so_far.is_over || run.is_of(&laid)).then(|| so_far.says.clone());
        (!so_far.is_over, says, so_far.best.clone())
    });
    if let Some(task) = run.as_ref().filter(|_| is_running).and_then(|run| run.task().ok()) {
        let copies =
            best.iter().filter_map(|lying| copy_seen(&task, lying, (&grounds, 1), Fineness::Outline));
        return LaySeen { is_running, says, copies: copies.collect(), ..plain };
    }
    let Some(layout) = layout else { return LaySeen { says, ..plain } };
    if !layout.is_of(&laid) {
        let before = "The layout is of the pattern and the cloth as they were before: lay the pieces again.";
        return LaySeen { says: says.or_else(|| Some(Remark::bad(before))), ..plain };
    }
    let Ok(task) = layout.task() else { return LaySeen { says, ..plain } };
    let lying = layout.laid.lying.iter();
    let copies = lying.filter_map(|lying| {
        copy_seen(&task, lying, (&grounds, layout.hand.turns(lying.copy)), Fineness::Whole)
    });
    LaySeen {
        is_running,
        says,
        copies: copies.collect(),
        told: told(&task, &layout.laid, laid.unit),
        is_kept: true,
        can_take_back,
        ..plain
    }
}

async fn begin(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    done(&body, move |asked: ChoicesAsked| {
        let laid = shared.table().laid();
        run_beside(&shared, LayRun::of(&laid, asked.said)?);
        Ok(json(StatusCode::OK, &lay_seen(&shared)))
    })
    .await
}

/// Has a search run beside the table; what it finds is kept.
fn run_beside(shared: &Arc<Shared>, run: LayRun) {
    let run = Arc::new(run);
    shared.set_lay_run(Arc::clone(&run));
    let (kept_in, stop) = (Arc::clone(shared), run.stop.clone());
    shared.beside.begin(stop, move || {
        // It is over when what was found is kept.
        let _over = run.until_over();
        let Some(found) = run.search() else { return };
        if kept_in.table().layout().is_some_and(|lying| lying.is_better_than(&found)) {
            run.so_far().says =
                Remark::good("The layout that lay there is better than what was found, and stays.");
            return;
        }
        let kept = ready(found).and_then(|found| {
            let kept = kept_in.table().keep_layout(found);
            kept.map_err(|fault| Refused::plain(fault, "mend it, and lay the pieces again"))
        });
        if let Err(answer) = kept {
            run.so_far().says = Remark::bad(format!("The layout could not be kept: {answer}."));
        }
    });
}

fn ready(found: LaidOut) -> Result<Ready, Refused> {
    Ready::of(found).map_err(|error| refused(&error))
}

async fn stop(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    done(&body, move |_: NothingAsked| {
        shared.beside.stop();
        Ok(json(StatusCode::OK, &lay_seen(&shared)))
    })
    .await
}

/// A copy in the hand.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TryAsked {
    page: u64,
    number: u64,
    hand: CopyInHand,
}

async fn tried(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    let asked: TryAsked = match wished(&body) {
        Ok(asked) => asked,
        Err(refused) => return *refused,
    };
    // Noted at once: of those that wait, only the newest is worked on.
    shared.note(asked.page, asked.number);
    let do_it = move || {
        if !shared.is_newest(asked.page, asked.number) {
            return answer(StatusCode::NO_CONTENT, "text/plain", "");
        }
        match lying_now(&shared).and_then(|(laid, layout)| asked.hand.tried(&layout, &grounds_of(&laid)?)) {
            Ok(settled) => json(StatusCode::OK, &settled),
            Err(refused) => unkept(refused.into()),
        }
    };
    work(do_it).await
}

/// A copy that is let go of.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct KeepAsked {
    revision: u64,
    /// The layout that it lies in.
    layout: u64,
    hand: CopyInHand,
}

async fn keep(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    done(&body, move |asked: KeepAsked| {
        let (laid, layout) = {
            let mut table = shared.table();
            table.refuse_unseen(asked.revision)?;
            table.refuse_other_layout(asked.layout)?;
            lying_on(&mut table)?
        };
        let moved = ready(asked.hand.kept(&layout, &grounds_of(&laid)?)?)?;
        shared.table().keep_move(moved, asked.layout)?;
        Ok(json(StatusCode::OK, &lay_seen(&shared)))
    })
    .await
}

/// Which layout the last move is taken back in.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LayoutBackAsked {
    layout: u64,
}

async fn back(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    done(&body, move |asked: LayoutBackAsked| {
        let before = {
            let table = shared.table();
            table.refuse_other_layout(asked.layout)?;
            table.layout_before()
        };
        let before =
            before.ok_or_else(|| Refused::plain("no move is left to take back", "go on from here"))?;
        let again = before.moved(before.poses.clone()).map_err(|error| refused(&error))?;
        shared.table().take_back_move(ready(again)?, asked.layout)?;
        Ok(json(StatusCode::OK, &lay_seen(&shared)))
    })
    .await
}

/// What lies on the table, and the layout of it.
fn lying_now(shared: &Shared) -> Result<(Arc<OnTable>, Arc<LaidOut>), Refused> {
    lying_on(&mut shared.table())
}

fn lying_on(table: &mut Table) -> Result<(Arc<OnTable>, Arc<LaidOut>), Refused> {
    let laid = table.laid();
    let layout = table.layout().filter(|layout| layout.is_of(&laid));
    let none = || Refused::plain("no layout of this pattern lies on the cloth", "lay the pieces first");
    Ok((laid, layout.ok_or_else(none)?))
}

fn grounds_of(laid: &OnTable) -> Result<Vec<kurbo::Rect>, Refused> {
    Ok(grounds(laid.as_it_lies(), laid.stock.as_deref().ok_or_else(no_cloth)?))
}
