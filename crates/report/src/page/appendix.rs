//! The appendix: by what the answer can be checked and made again.

use super::PageError;
use partywall_core::answer::run::RunResult;
use partywall_core::colony::parameters::{self, Evidence};
use partywall_core::hive::{Hive, comb_table};
use partywall_core::stand::Scenario;

/// One row of a table of values.
pub struct Row {
    /// Key.
    pub key: String,
    /// What it is.
    pub what: String,
    /// Value with its unit.
    pub value: String,
    /// Where it comes from.
    pub source: String,
}

/// Books and errors of the heat network.
pub fn solver(r: &RunResult) -> Vec<(&'static str, String)> {
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
pub fn parameters(s: &Scenario) -> Result<Vec<Row>, PageError> {
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
    let mut rows: Vec<Row> = parameters::table()
        .map_err(|e| damaged(&e))?
        .into_iter()
        .map(|p| Row {
            value: value(&p.key, p.default, &p.unit),
            source: match p.evidence {
                Evidence::Read => p.source,
                Evidence::Memory => format!("from memory: {}", p.source),
                Evidence::Derived => format!("derived: {}", p.source),
            },
            what: p.name,
            key: p.key,
        })
        .collect();
    let combs = comb_table().map_err(|e| damaged(&e))?;
    rows.extend(combs.into_iter().map(|(key, p)| Row {
        value: value(&key, p.value, &p.unit),
        key,
        what: p.what,
        source: p.source,
    }));
    Ok(rows)
}

/// The materials used.
pub fn materials(hive: &Hive) -> Vec<Row> {
    hive.materials_used
        .values()
        .map(|m| Row {
            key: m.key.clone(),
            what: m.label.clone(),
            value: format!(
                "{} W/mK, {} kg/m3, {} J/kgK",
                m.conductivity, m.density, m.specific_heat
            ),
            source: m.source.clone(),
        })
        .collect()
}
