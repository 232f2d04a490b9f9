//! Which pages are of one paper, held the same way.

use crate::drawing::drawn::DrawnPage;
use crate::tolerance::SAME_PAPER;

/// Pages, by their numbers, that may be of one drawing, in their order.
pub(super) type PagesOfOne = Vec<usize>;

/// Pages of one paper, held the same way.
pub(super) fn of_one_paper(pages: &[&DrawnPage]) -> Vec<PagesOfOne> {
    let mut papers: Vec<PagesOfOne> = Vec::new();
    for (at, page) in pages.iter().enumerate() {
        match papers.iter_mut().find(|paper| is_same_paper(page, pages[paper[0]])) {
            Some(paper) => paper.push(at),
            None => papers.push(vec![at]),
        }
    }
    papers
}

fn is_same_paper(one: &DrawnPage, other: &DrawnPage) -> bool {
    let sizes = one.seen.zip(other.seen).map(|(one, other)| (one.size(), other.size()));
    match sizes {
        Some((one, other)) => {
            (one.width - other.width).abs() <= SAME_PAPER && (one.height - other.height).abs() <= SAME_PAPER
        }
        None => one.seen.is_none() == other.seen.is_none(),
    }
}
