//! The appendix: by what the answer can be checked and made again.

use super::Behind;
use crate::document::{Column, Form, PageError, Row, Section, Table};
use crate::text;
use crate::texts::{either, listed, said};
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
    let mut all = vec![Section::table(said("appendix.heat_books_solver"), books)];
    if !b.hive.notes.is_empty() {
        all.push(Section::list(
            said("appendix.simplified_hive"),
            b.hive.notes.clone(),
        ));
    }
    let winters = r.colonies.iter().enumerate();
    all.extend(winters.map(|(i, c)| {
        let heading = either(i == 0, "appendix.winter_winter", "");
        Section::table(heading, winter_by_winter(c))
    }));
    let water = r.colonies.iter().enumerate();
    all.extend(water.map(|(i, c)| {
        let heading = either(i == 0, "appendix.water_month_month", "");
        Section::table(heading, water_by_month(c))
    }));
    let parameters = values(parameters(b.scenario)?);
    all.push(Section::table(
        said("appendix.constants_parameters_used"),
        parameters,
    ));
    all.push(Section::table(
        said("appendix.materials_used"),
        values(materials(b.hive)),
    ));
    Ok(all)
}

/// What was eaten in each winter and what came of it.
fn winter_by_winter(c: &ColonyResult) -> Table {
    let heads = ["Eaten", "Apart", said("appendix.brood"), "Left", "Starved"].map(Column::figures);
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
        caption: text!("appendix.kg_honey", stack = c.stack),
        columns: [Column::words(said("appendix.winter"))]
            .into_iter()
            .chain(heads)
            .collect(),
        rows: rows.collect(),
        form: Form::Numbers,
    }
}

/// Where the water went in each month, in the mean of the winters.
fn water_by_month(c: &ColonyResult) -> Table {
    let heads = listed("appendix.water").iter();
    let g = |kg: f64| format!("{:.0}", 1e3 * kg);
    let rows = c.water.months.iter().map(|m| {
        let name = jiff::civil::Date::new(2001, m.month, 1);
        Row::of([
            name.map_or_else(|_| m.month.to_string(), |d| d.strftime("%b").to_string()),
            g(m.made),
            g(m.carried),
            g(m.dew.lid),
            g(m.dew.walls),
            g(m.dew.floor),
            g(m.dew.combs),
            format!("{:.2}", m.air),
            format!("{:.0}", 100.0 * m.humidity),
            format!("{:.1}", 100.0 * m.carbon_dioxide),
        ])
    });
    Table {
        caption: text!("appendix.water_of", stack = c.stack),
        columns: [Column::words(said("appendix.month"))]
            .into_iter()
            .chain(heads.map(|h| Column::figures(h)))
            .collect(),
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
        columns: ["Key", "Value", said("appendix.what_where_from")]
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
            said("appendix.heat_network"),
            text!(
                "appendix.unknowns_full_solved",
                kind = r.network.kind,
                unknowns = r.network.unknowns,
                solved = r.solver.unknowns
            ),
        ),
        ("Grid", r.grid.to_owned()),
        (
            said("appendix.heat_balance"),
            text!(
                "appendix.heat_went_through_missing",
                energy_residual = format!("{:.1e}", r.solver.energy_residual)
            ),
        ),
        (
            said("appendix.clusters_hive_solved_together"),
            text!(
                "appendix.c_at_worst",
                coupling_residual = format!("{:.1e}", r.solver.coupling_residual)
            ),
        ),
        (
            "Work",
            text!(
                "appendix.hours_systems_solved_iterations",
                steps = r.solver.steps,
                solves = r.solver.solves,
                iterations = r.solver.iterations
            ),
        ),
    ];
    match &r.network.check {
        Some(c) => rows.push((
            said("appendix.reduced_network_against_full"),
            text!(
                "appendix.hours_around_cluster_c",
                hours = c.hours,
                winter = c.winter,
                around_k = format!("{:.2}", c.around_k),
                around_rms_k = format!("{:.3}", c.around_rms_k),
                eaten = format!("{:.2}", 100.0 * c.eaten),
                mantle_k = format!("{:.2}", c.mantle_k),
                heat_in_hand_k = format!("{:.2}", c.heat_in_hand_k),
                chilled_h = c.chilled_h,
                verdict = either(
                    c.holds(),
                    "appendix.within_bounds",
                    "appendix.beyond_bounds"
                )
            ),
        )),
        None => rows.push((
            said("appendix.reduced_network_against_full"),
            text!("appendix.not_compared_run"),
        )),
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
        Some(v) => text!("appendix.yours_shipped", value = v, unit, default),
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
                Evidence::Memory => text!("appendix.from_memory", source = p.source),
                Evidence::Derived => text!("appendix.derived", source = p.source),
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
            let value = text!(
                "appendix.w_mk_kg_m",
                conductivity = m.conductivity,
                density = m.density,
                specific_heat = m.specific_heat
            );
            [m.key.clone(), value, m.label.clone(), m.source.clone()]
        })
        .collect()
}
