//! A card by a template of a workshop's own.

use super::facts::Facts;
use super::measures::Measures;
use super::{Chosen, DocumentError};
use crate::fill;
use crate::labels::Labels;
use crate::render::picture::Logo;
use crate::render::sheet::Sheet;
use crate::render::template::Parsed;

/// The template, with all that does not depend on size and plan.
pub(super) struct Own {
    pub(super) template: Parsed,
    context: tera::Context,
}

impl Own {
    pub(super) fn of(chosen: Chosen<'_>, facts: &Facts, labels: &Labels) -> Result<Self, DocumentError> {
        Ok(Self { template: chosen.parsed()?, context: fill::labelled(chosen, facts, labels)? })
    }

    /// What it yields.
    pub(super) fn sheet(
        &self,
        facts: &Facts,
        is: Measures,
        logo: Option<&Logo>,
    ) -> Result<Sheet, DocumentError> {
        let mut context = self.context.clone();
        let numbers = [
            ("width", is.width),
            ("height", is.height),
            ("margin", is.margin),
            ("inner", is.inner),
            ("points", is.points),
            ("loud", is.loud),
            ("hand", is.hand),
            ("foot", is.foot),
            ("mark_wide", Measures::mark_wide(facts)),
        ];
        numbers.into_iter().for_each(|(name, number)| context.insert(name, &number));
        context.insert("logo", &is.logo);
        context.insert("front", is.plan.front_word());
        context.insert("table", &is.plan.table);
        context.insert("columns", &is.plan.columns);
        context.insert("beside", &is.plan.beside);
        context.insert("name_line", &is.name_line(facts));
        context.insert("imprint", is.imprint(facts));
        Ok(fill::sheet_of(&self.template, context, logo)?.0)
    }
}
