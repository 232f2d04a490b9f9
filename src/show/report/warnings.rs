//! What is not true, and what to look at twice.

use crate::show::markup::Markup;
use crate::show::report::Report;
use crate::show::report::order::fault;
use crate::truing::Weight;

pub(super) fn part(report: &Report<'_>) -> Markup {
    let mut part = Markup::default();
    let mut findings: Vec<_> = report.verdict.findings().iter().collect();
    findings.sort_by_key(|finding| finding.weight);
    if findings.is_empty() && report.construction.faults.is_empty() {
        part.element("p", &[], "The check finds nothing that is not true.");
        return part;
    }
    part.within("ul", &[("class", "findings")], |list| {
        for finding in findings {
            let (class, word) = match finding.weight {
                Weight::Untrue => ("untrue", "Not true:"),
                Weight::Warning => ("warning", "Look twice:"),
            };
            list.within("li", &[("class", class)], |item| {
                item.element("strong", &[], word);
                item.sentence(&finding.sentence(report.unit));
            });
        }
        for one in &report.construction.faults {
            list.within("li", &[("class", "untrue")], |item| {
                item.element("strong", &[], "Cannot be sewn:");
                item.text(&fault(report.now, one));
            });
        }
    });
    part
}
