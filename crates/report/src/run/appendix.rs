//! The appendix: by what the answer can be checked and made again.

use super::Behind;
use crate::document::{Column, Form, PageError, Row, Section, Table};
use partywall_core::answer::run::RunResult;
use partywall_core::colony::parameters::{self, Evidence};
use partywall_core::decision::result::ColonyResult;
use partywall_core::hive::{Hive, comb_table};
use partywall_core::stand::Scenario;

/// All of it, in order.
///
/// # Errors
/// A damaged table.
pub(super) fn sections(r: &RunResult, b: &Behind<'_>) -> Result<Vec<Section>, PageError> {
    let books = Table {
        columns: vec![Column::words(""); 2],
        rows: solver(r)
            .into_iter()
            .map(|(what, words)| Row::of([what.to_owned(), words]))
            .collect(),
        ..Table::default()
    };
    let mut all = vec![Section::table("Heat books and solver", books)];
    if !b.hive.notes.is_empty() {
        all.push(Section::list(
            "Simplified in the hive",
            b.hive.notes.clone(),
        ));
    }
    let winters = r.colonies.iter().enumerate();
    all.extend(winters.map(|(i, c)| {
        let heading = if i == 0 { "Winter by winter" } else { "" };
        Section::table(heading, winter_by_winter(c))
    }));
    let parameters = values(parameters(b.scenario)?);
    all.push(Section::table("Constants and parameters used", parameters));
    all.push(Section::table("Materials used", values(materials(b.hive))));
    Ok(all)
}

/// What was eaten in each winter and what came of it.
fn winter_by_winter(c: &ColonyResult) -> Table {
    let heads = ["Eaten", "Apart", "To brood", "Left", "Starved"].map(Column::figures);
    let kg = |kg: f64| format!("{kg:.1}");
    let rows = c.winters.iter().map(|w| {
        Row::of([
            w.winter.clone(),
            kg(w.eaten),
            w.eaten_apart.map_or_else(|| "-".to_owned(), kg),
            kg(w.fed_to_brood),
            kg(w.left),
            w.starved
                .map_or_else(|| "no".to_owned(), |s| s.date.to_string()),
        ])
    });
    Table {
        caption: format!("{}: kg of honey", c.stack),
        columns: [Column::words("Winter")].into_iter().chain(heads).collect(),
        rows: rows.collect(),
        form: Form::Numbers,
    }
}

/// A table of keys and values: key, value with its unit, what it is, where it comes from.
fn values(rows: Vec<[String; 4]>) -> Table {
    let rows = rows
        .into_iter()
        .map(|[key, value, what, source]| Row::of([key, value, format!("{what}. {source}")]));
    Table {
        columns: ["Key", "Value", "What, and where from"]
            .map(Column::words)
            .to_vec(),
        rows: rows.collect(),
        form: Form::Values,
        ..Table::default()
    }
}

/// Books and errors of the heat network.
fn solver(r: &RunResult) -> Vec<(&'static str, String)> {
    let mut rows = vec![
        (
            "Heat network",
            format!(
                "{}, {} unknowns in full, {} solved for",
                r.network.kind, r.network.unknowns, r.solver.unknowns
            ),
        ),
        ("Grid", r.grid.to_owned()),
        (
            "Heat balance",
            format!(
                "{:.1e} of the heat that went through is missing from the books, in the worst winter",
                r.solver.energy_residual
            ),
        ),
        (
            "Clusters and hive solved together",
            format!("to {:.1e} C at worst", r.solver.coupling_residual),
        ),
        (
            "Work",
            format!(
                "{} hours, {} systems solved, {} iterations",
                r.solver.steps, r.solver.solves, r.solver.iterations
            ),
        ),
    ];
    match &r.network.check {
        Some(c) => rows.push((
            "Reduced network against the full one",
            format!(
                "{} hours of {}: around a cluster {:.2} C at most, {:.3} C rms; honey eaten {:.2} in 100; outermost bees {:.2} C; \
                 heat in hand {:.2} C; {} hours in chill coma; {}",
                c.hours,
                c.winter,
                c.around_k,
                c.around_rms_k,
                100.0 * c.eaten,
                c.mantle_k,
                c.heat_in_hand_k,
                c.chilled_h,
                if c.holds() { "within bounds" } else { "beyond bounds" }
            ),
        )),
        None => rows.push(("Reduced network against the full one", "not compared in this run".to_owned())),
    }
    rows
}

/// The colony's parameters and the comb values as used.
///
/// # Errors
/// A damaged table.
fn parameters(s: &Scenario) -> Result<Vec<[String; 4]>, PageError> {
    let own = |key: &str| {
        s.parameters
            .iter()
            .rev()
            .find(|(k, _)| k == key)
            .map(|(_, v)| *v)
    };
    let value = |key: &str, default: f64, unit: &str| match own(key) {
        Some(v) => format!("{v} {unit} (yours; {default} as shipped)"),
        None => format!("{default} {unit}"),
    };
    let damaged = |e: &dyn std::fmt::Display| PageError::Table(e.to_string());
    let mut rows: Vec<_> = parameters::table()
        .map_err(|e| damaged(&e))?
        .into_iter()
        .map(|p| {
            let value = value(&p.key, p.default, &p.unit);
            let source = match p.evidence {
                Evidence::Read => p.source,
                Evidence::Memory => format!("from memory: {}", p.source),
                Evidence::Derived => format!("derived: {}", p.source),
            };
            [p.key, value, p.name, source]
        })
        .collect();
    let combs = comb_table().map_err(|e| damaged(&e))?;
    rows.extend(combs.into_iter().map(|(key, p)| {
        let value = value(&key, p.value, &p.unit);
        [key, value, p.what, p.source]
    }));
    Ok(rows)
}

/// The materials used.
fn materials(hive: &Hive) -> Vec<[String; 4]> {
    hive.materials_used
        .values()
        .map(|m| {
            let value = format!(
                "{} W/mK, {} kg/m3, {} J/kgK",
                m.conductivity, m.density, m.specific_heat
            );
            [m.key.clone(), value, m.label.clone(), m.source.clone()]
        })
        .collect()
}
