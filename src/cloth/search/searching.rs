//! The search as a caller sees it.

use std::time::Instant;

use super::check::faults;
use super::impossible::impossible;
use super::lay::Saved;
use super::outcome::{FoundLay, Outcome};
use super::parts::{SubProblem, parts};
use super::phases::explore;
use super::prepared::Prepared;
use super::problem::{Budget, Continue, Pose, Problem, Progress};
use super::sound::{BadProblem, check};
use super::turning::TurnAboutOrigin;

/// Searches for a lay of a problem.
///
/// `listen` is called before every pass of the first searcher, on the calling thread, and may stop the search. What is
/// said to fit has been checked by [`faults`].
///
/// # Errors
///
/// [`BadProblem`] where a polygon, turn or reference of the problem makes no sense.
pub fn search(
    problem: &Problem,
    budget: &Budget,
    listen: &mut dyn FnMut(Progress) -> Continue,
) -> Result<Outcome, BadProblem> {
    search_shown(problem, budget, listen, &mut |_| {})
}

/// As [`search`]; each time that a better lay is found, `show` is given where its items lie. Those of parts that are not
/// searched yet lie nowhere.
///
/// # Errors
///
/// As [`search`].
pub fn search_shown(
    problem: &Problem,
    budget: &Budget,
    listen: &mut dyn FnMut(Progress) -> Continue,
    show: &mut dyn FnMut(&[Option<Pose>]),
) -> Result<Outcome, BadProblem> {
    check(problem)?;
    let whole = Prepared::new(problem);
    let reasons = impossible(problem, &whole);
    if !reasons.is_empty() {
        return Ok(Outcome::Impossible(reasons));
    }
    let mut poses = vec![None; problem.items.len()];
    let parts = parts(problem);
    let mut run = ToldSoFar { began: Instant::now(), passes: 0, looked_at: 0, stopped: false, listen, show };
    for (number, part) in parts.iter().enumerate() {
        let share = part.items.len() as f64 / problem.items.len() as f64;
        let place = (number + 1, parts.len());
        let found = match part.is_whole(problem) {
            true => run.search((part, &whole), place, &budget.share(share), &poses),
            false => run.search((part, &Prepared::new(&part.problem)), place, &budget.share(share), &poses),
        };
        for (item, pose) in part.items.iter().zip(found) {
            poses[*item] = Some(Pose { sheet: part.sheets[pose.sheet], ..pose });
        }
    }
    let poses: Vec<Pose> = poses.into_iter().flatten().collect();
    let layout =
        FoundLay { used: used(problem, &poses), poses, iterations: run.passes, looked_at: run.looked_at };
    let faults = faults(problem, &layout.poses);
    Ok(if faults.is_empty() { Outcome::Fits(layout) } else { Outcome::NotFound { closest: layout, faults } })
}

/// How much of each sheet is used.
fn used(problem: &Problem, poses: &[Pose]) -> Vec<f64> {
    let lowest = |points: &mut dyn Iterator<Item = f64>| points.fold(f64::NEG_INFINITY, f64::max);
    problem
        .sheets
        .iter()
        .enumerate()
        .map(|(place, sheet)| {
            let begin = sheet.outline.iter().map(|point| point.y).fold(f64::INFINITY, f64::min);
            let end = lowest(
                &mut problem.items.iter().zip(poses).filter(|(_, pose)| pose.sheet == place).flat_map(
                    |(item, pose)| {
                        let turning = TurnAboutOrigin::new(pose.degrees);
                        item.outline.iter().map(move |point| turning.turn(*point).y + pose.y)
                    },
                ),
            );
            (end - begin).max(0.0)
        })
        .collect()
}

/// What is told over all parts.
struct ToldSoFar<'l> {
    began: Instant,
    passes: u64,
    looked_at: u64,
    stopped: bool,
    listen: &'l mut dyn FnMut(Progress) -> Continue,
    show: &'l mut dyn FnMut(&[Option<Pose>]),
}

impl ToldSoFar<'_> {
    fn search(
        &mut self,
        (part, prepared): (&SubProblem, &Prepared),
        (number, parts): (usize, usize),
        budget: &Budget,
        before: &[Option<Pose>],
    ) -> Vec<Pose> {
        let (began, done, stopped) = (self.began, self.passes, self.stopped);
        let (listen, show) = (&mut self.listen, &mut self.show);
        let mut halted = stopped;
        let mut shown = None;
        let poses = |saved: &Saved| -> Vec<Pose> {
            saved.spots.iter().enumerate().map(|(item, spot)| prepared.pose(item, *spot)).collect()
        };
        let found = explore(prepared, part.problem.goal, budget, &mut |passes, length, unlike, best| {
            let (iterations, seconds) = (done + passes, began.elapsed().as_secs_f64());
            let progress = Progress { length, unlike, part: number, parts, iterations, seconds };
            if let Some(best) = best.filter(|_| shown != Some((length, unlike))) {
                shown = Some((length, unlike));
                let mut all = before.to_vec();
                for (item, pose) in part.items.iter().zip(poses(best)) {
                    all[*item] = Some(Pose { sheet: part.sheets[pose.sheet], ..pose });
                }
                show(&all);
            }
            halted = halted || listen(progress) == Continue::Stop;
            !halted
        });
        self.stopped = halted;
        self.passes += found.passes;
        self.looked_at += found.looked_at;
        poses(&found.saved)
    }
}
