//! The heat of one winter of the demo pair, hour by hour, for our own solvers and for general ones beside them: the network of the
//! `normal` grid with empty combs, the films and exchanges that the weather of the second winter gives, and 10 W in a sphere in each hive. No bees: every
//! solver gets the same numbers.
//!
//! `ONE_WINTER=DIR cargo bench --bench one_winter` also writes the problem to DIR, where `benches/peer/one_winter.py DIR` finds it.

#[path = "stand/mod.rs"]
#[expect(dead_code, reason = "no colonies here")]
mod stand;

use partywall::heat::reduced::{PortHour, ReducedNetwork, ReducedState};
use partywall::heat::{Drive, HeatError, LinearSolver, Scheme, Shell, Stepper, net_heat, steady};
use partywall::hive::Resolution;
use partywall::season::{HourlyForcing, PreparedHive, place::Place};
use std::error::Error;
use std::path::Path;
use std::time::Instant;

/// Length of a step, s.
const STEP: f64 = 3600.0;
/// Heat of each sphere, W, and its radius, m.
const WATTS: f64 = 10.0;
const RADIUS: f64 = 0.11;
/// Warmth of the openings over the outside, K, by which they draw.
const DRAUGHT: f64 = 8.0;

/// The winter as numbers.
struct Problem<'a> {
    stand: &'a PreparedHive,
    hours: Vec<HourlyForcing>,
    fill: Vec<f64>,
    spheres: Vec<Shell>,
    /// At the start, at rest without the spheres, degC.
    first: Vec<f64>,
}

impl<'a> Problem<'a> {
    fn new(demo: &'a stand::Demo) -> Result<Self, Box<dyn Error>> {
        let stand = &demo.stand;
        let hive = &stand.hive;
        let mut fill = Vec::new();
        stand.fill(&mut fill, |_, _| Some(0.0));
        let hours = &demo.winters[1].hours;
        let hours: Vec<HourlyForcing> = hours
            .iter()
            .map(|h| stand.hour(h, &[], |_| h.outdoor_c + DRAUGHT))
            .collect();
        let spheres = (0..hive.stacks.len())
            .map(|stack| {
                let middle = hive.stacks[stack].bounds.map(|b| 0.5 * (b[1] - b[0]));
                let radius = RADIUS;
                Place {
                    stack,
                    radius,
                    centre: middle,
                }
                .shell(hive)
            })
            .collect::<Result<Vec<_>, _>>()?;
        let mut this = Self {
            stand,
            hours,
            fill,
            spheres,
            first: Vec::new(),
        };
        let start = stand.full_drive(&this.hours[0], &this.fill);
        this.first = steady(&hive.network, &start, LinearSolver::PCG)?.t;
        Ok(this)
    }

    fn drive(&self, hour: &HourlyForcing) -> Drive {
        let mut drive = self.stand.full_drive(hour, &self.fill);
        for s in &self.spheres {
            s.deposit(&mut drive.power, WATTS);
        }
        drive
    }

    /// Temperatures around the spheres hour by hour with the full network.
    fn full(&self, scheme: Scheme, tolerance: f64) -> Result<Vec<f64>, HeatError> {
        let solver = LinearSolver { tolerance };
        let mut stepper = Stepper::new(&self.stand.hive.network, scheme, STEP, solver)?;
        let mut t = self.first.clone();
        let mut drive = self.drive(&self.hours[0]);
        let mut around = Vec::with_capacity(self.hours.len() * self.spheres.len());
        for hour in &self.hours {
            self.stand.set_drive(&mut drive, hour, &t);
            stepper.step(&mut t, &drive)?;
            around.extend(self.spheres.iter().map(|s| s.sample(&t)));
        }
        Ok(around)
    }

    /// The same with the reduced network.
    fn reduced(&self, network: &ReducedNetwork) -> Result<Vec<f64>, HeatError> {
        let patches = self.stand.patches().len();
        let mut hour = PortHour::default();
        let load = |hour: &mut PortHour, now: &HourlyForcing| {
            let films = now.films.iter().enumerate();
            hour.conductance.clear();
            hour.conductance
                .extend(films.map(|(i, f)| network.patch_conductance(i, f.h)));
            hour.conductance.extend(&now.exchange);
            hour.t.clear();
            hour.t.extend(now.films.iter().map(|f| f.t));
            hour.t.resize(patches + now.exchange.len(), now.outdoor_c);
            hour.power.resize(patches + now.exchange.len(), 0.0);
        };
        load(&mut hour, &self.hours[0]);
        let mut state = ReducedState::steady(network, &self.fill, &hour)?;
        for s in &self.spheres {
            let (body, near) = (network.place(s), network.near(s)?);
            state.add_body([(1.0, &body)], [(1.0, &near)], &[]);
        }
        let flow = vec![WATTS; self.spheres.len()];
        let mut around = Vec::with_capacity(self.hours.len() * self.spheres.len());
        for now in &self.hours {
            load(&mut hour, now);
            state.step(&hour, &flow)?;
            state.correct(&flow);
            state.commit();
            around.extend((0..self.spheres.len()).map(|i| state.around(i)));
        }
        Ok(around)
    }

    /// Writes it for others: numbers of eight bytes, the smaller end first.
    fn write(&self, dir: &Path) -> Result<(), Box<dyn Error>> {
        std::fs::create_dir_all(dir)?;
        let write = |name: &str, values: &mut dyn Iterator<Item = f64>| {
            let bytes: Vec<u8> = values.flat_map(f64::to_le_bytes).collect();
            std::fs::write(dir.join(name), bytes)
        };
        let network = &self.stand.hive.network;
        let n = network.n();
        // What flows inside: no films, no exchange.
        let mut inside = Drive::uniform(network, partywall::heat::Film { h: 0.0, t: 0.0 });
        inside.fill.copy_from_slice(&self.fill);
        let (mut row, mut column, mut value) = (Vec::new(), Vec::new(), Vec::new());
        let mut t = vec![0.0; n];
        for j in 0..n {
            t[j] = 1.0;
            for (i, q) in net_heat(network, &inside, &t)?.into_iter().enumerate() {
                if q != 0.0 {
                    row.push(i as f64);
                    column.push(j as f64);
                    value.push(-q);
                }
            }
            t[j] = 0.0;
        }
        write("row", &mut row.into_iter())?;
        write("column", &mut column.into_iter())?;
        write("value", &mut value.into_iter())?;
        write(
            "capacity",
            &mut self.stand.hive.network.capacity().iter().copied(),
        )?;
        let mut faces = Vec::new();
        for (p, groups) in self.stand.patches().enumerate() {
            for &g in groups {
                let group = &network.faces()[g];
                for (node, area) in group.nodes.iter().zip(&group.areas) {
                    faces.push([*node as f64, *area, group.r_inner, p as f64]);
                }
            }
        }
        write("faces", &mut faces.into_iter().flatten())?;
        write("nodes", &mut self.stand.nodes().iter().map(|n| *n as f64))?;
        let hours = &self.hours;
        write(
            "film_h",
            &mut hours.iter().flat_map(|h| h.films.iter().map(|f| f.h)),
        )?;
        write(
            "film_t",
            &mut hours.iter().flat_map(|h| h.films.iter().map(|f| f.t)),
        )?;
        write(
            "exchange",
            &mut hours.iter().flat_map(|h| h.exchange.iter().copied()),
        )?;
        write("outside", &mut hours.iter().map(|h| h.outdoor_c))?;
        let weights = |s: &Shell| {
            let mut w = vec![0.0; n];
            s.deposit(&mut w, 1.0);
            w
        };
        write("spheres", &mut self.spheres.iter().flat_map(weights))?;
        write("first", &mut self.first.iter().copied())?;
        Ok(())
    }
}

/// Largest difference of two courses, K.
fn apart(a: &[f64], b: &[f64]) -> f64 {
    a.iter()
        .zip(b)
        .map(|(a, b)| (a - b).abs())
        .fold(0.0, f64::max)
}

#[expect(clippy::print_stdout, reason = "a bench reports on the terminal")]
fn main() -> Result<(), Box<dyn Error>> {
    let demo = stand::demo(Resolution::Normal)?;
    let problem = Problem::new(&demo)?;
    println!(
        "{} unknowns, {} hours",
        demo.stand.hive.network.n(),
        problem.hours.len()
    );
    if let Some(dir) = std::env::var_os("ONE_WINTER") {
        problem.write(Path::new(&dir))?;
    }
    let timed = |what: &str, run: &dyn Fn() -> Result<Vec<f64>, HeatError>| {
        let start = Instant::now();
        let around = run();
        println!("{what:45} {:9.3} s", start.elapsed().as_secs_f64());
        around
    };
    let euler = timed("full, backward Euler, to 1e-5 K", &|| {
        problem.full(Scheme::BackwardEuler, 1e-5)
    })?;
    let careful = timed("full, TR-BDF2, to 1e-5 K", &|| {
        problem.full(Scheme::TrBdf2, 1e-5)
    })?;
    let one = rayon::ThreadPoolBuilder::new().num_threads(1).build()?;
    let start = Instant::now();
    let network = one.install(|| demo.stand.reduced())?.network();
    println!(
        "{:45} {:9.3} s",
        "reduced network built",
        start.elapsed().as_secs_f64()
    );
    let reduced = timed("reduced", &|| problem.reduced(network))?;
    println!(
        "backward Euler against TR-BDF2: {:.3} K",
        apart(&euler, &careful)
    );
    println!(
        "reduced against TR-BDF2: {:.3} K",
        apart(&reduced, &careful)
    );
    if let Some(dir) = std::env::var_os("ONE_WINTER") {
        let bytes: Vec<u8> = euler.iter().flat_map(|t| t.to_le_bytes()).collect();
        std::fs::write(Path::new(&dir).join("euler"), bytes)?;
    }
    Ok(())
}
