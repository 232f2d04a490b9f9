//! The page: its parts in their order, each under a heading, and what stands around them.

use crate::show::markup::{Markup, page};
use crate::show::report::{
    Report, ReportError, before_after, checklist, followers, girths, job, layout, order, proof, seams, sewn,
    steps, warnings,
};

impl Report<'_> {
    /// The page.
    ///
    /// # Errors
    ///
    /// A cutting line cannot be worked out, so that a piece cannot be drawn.
    pub fn html(&self) -> Result<String, ReportError> {
        let mut body = Markup::default();
        let mut contents: Vec<(&str, &str)> = Vec::new();
        let mut part = |body: &mut Markup, id: &'static str, title: &'static str, inside: Markup| {
            if inside.is_empty() {
                return;
            }
            contents.push((id, title));
            let heading = format!("{id}-title");
            body.within("section", &[("id", id), ("aria-labelledby", &heading)], |section| {
                section.element("h2", &[("id", &heading)], title);
                section.add(inside);
            });
        };
        part(&mut body, "job", "The job", job::part(self));
        part(&mut body, "before-after", "Before and after", before_after::part(self)?);
        part(&mut body, "warnings", "Before you cut", warnings::part(self));
        part(&mut body, "steps", "Step by step", steps::part(self)?);
        part(&mut body, "followers", "Pieces made of others", followers::part(self)?);
        part(&mut body, "proof", "Laid back on the old pieces", proof::part(self.resewn.as_ref()));
        part(&mut body, "girths", "Girth at each level", girths::part(self));
        part(&mut body, "seams", "Every seam, walked", seams::part(self));
        part(&mut body, "layouts", "On the cloth", layout::part(&self.layouts));
        part(&mut body, "sewn", "As it is sewn", sewn::part(&self.layouts));
        part(&mut body, "order", "Sewing order", order::part(self));
        part(&mut body, "checklist", "To tick off before you cut", checklist::part(self));
        Ok(self.page(body, &contents))
    }

    fn page(&self, body: Markup, contents: &[(&str, &str)]) -> String {
        let title = format!("{}: what was done", self.title);
        page(&title, |all| {
            all.within("nav", &[("aria-label", "Contents")], |nav| {
                nav.within("ul", &[], |list| {
                    for (id, title) in contents {
                        list.within("li", &[], |item| {
                            item.element("a", &[("href", &format!("#{id}"))], title);
                        });
                    }
                });
            });
            all.within("main", &[], |main| main.add(body));
        })
    }
}
