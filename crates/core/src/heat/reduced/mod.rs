//! The network reduced to what a winter can see of it: a hundred slow modes instead of thousands of unknowns.
//!
//! Heat enters and temperatures are asked for at *ports* only: patches of the outer surface, single nodes (air spaces
//! with openings, heaters), regions that air passes, and immersed bodies. The basis is spanned by the network's answers to a watt at each port, at
//! rest and at two time scales (a rational Krylov space), compressed to its best directions. Each port keeps besides
//! what the basis lacks of its steady answer, so that every steady state is exact at the reference fill (*static residual*).
//!
//! Within a step all heat flows are constant and the modes advance exactly. Films and exchanges that differ from the
//! nominal ones are heat flows that depend on the mean temperature of their port over the step; they are solved
//! together by Gauss-Seidel. The matrix holds still air: what streams carry from port to port is heat of theirs too. Fills enter affinely: the small matrices are summed and brought to modal form once per fill.

mod basis;
mod body;
mod dense;
mod hour;
mod modal;
mod sweeps;
#[cfg(test)]
mod tests;

pub use body::{Body, Near};
pub use hour::{PortHour, PortStream, ReducedState};
pub use modal::Modal;

use super::drive::Drive;
use super::error::HeatError;
use super::immersed::Shell;
use super::network::Network;
use super::operator::Operator;
use super::simd_layout::{Field, LANES};
use basis::Solver;
use body::Reading;
use dense::Affine;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError, RwLock};

/// Swing of what lies before an outer surface within hours, K, and of the heat that air brings to a space or zone, W: by them their answers count
/// when the basis is chosen (choices, the orders of sun on a wall and of a draught).
const WEATHER_SWING: f64 = 30.0;
const AIR_SWING: f64 = 3.0;

/// Where weather and heaters reach a network.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ports {
    /// Face groups that share one film, per patch.
    pub patches: Vec<Vec<usize>>,
    /// Nodes with an exchange or a heater of their own.
    pub nodes: Vec<usize>,
    /// Regions that air passes: nodes with shares that sum to 1.
    pub regions: Vec<Vec<(usize, f64)>>,
    /// What is only read: nodes with shares that sum to 1. No heat enters there.
    pub readings: Vec<Vec<(usize, f64)>>,
}

/// One patch: its face groups' inner resistances and areas.
#[derive(Debug, Clone, PartialEq)]
struct Patch {
    /// (m2K/W, m2).
    groups: Vec<(f64, f64)>,
}

impl Patch {
    /// Conductance through the surface behind a film `h` (W/m2K), W/K.
    fn conductance(&self, h: f64) -> f64 {
        let film = 1.0 / h;
        self.groups.iter().map(|(r, a)| a / (r + film)).sum()
    }
}

/// A network in reduced form; see the module.
pub struct ReducedNetwork {
    network: Network,
    nominal: Operator,
    patches: Vec<Patch>,
    /// How many ports are nodes or regions.
    inner: usize,
    /// Conductance of every port that is already in the matrix, W/K.
    standing: Vec<f64>,
    /// Basis, row-major: node by mode.
    basis: Vec<f64>,
    modes: usize,
    stiffness: Affine,
    capacity: Affine,
    /// Ports in coordinates of the basis, row-major: port by mode.
    ports: Vec<f64>,
    /// Steady field of a watt at each port, K/W, row-major: node by port.
    fields: Vec<f64>,
    /// What the basis lacks of the ports' steady answers, K/W, port by port.
    residual: Vec<f64>,
    /// Readings in coordinates of the basis, row-major: reading by mode; and what the basis lacks of them for a watt at each port, K/W.
    readings: Vec<f64>,
    readings_lack: Vec<f64>,
    read_at: Vec<Vec<(usize, f64)>>,
    /// The constant field's losses and heat content in coordinates of the basis.
    loss: Vec<f64>,
    content: Affine,
    reference: Arc<Modal>,
    modals: RwLock<HashMap<Vec<u64>, Arc<Modal>>>,
    /// Solvers for placing bodies that no thread is using.
    solvers: Mutex<Vec<Solver>>,
    dt: f64,
}

impl ReducedNetwork {
    /// Reduces a network for steps of `dt` seconds.
    ///
    /// `nominal` gives the films, exchanges and fills the matrix is built with; its power and temperatures are not used.
    /// `seeds` are bodies like those that will be placed later, `modes` the most modes to keep.
    ///
    /// # Errors
    /// A drive or port that does not fit, or a solver failure.
    pub fn build(
        network: &Network,
        nominal: &Drive,
        ports: &Ports,
        seeds: &[Shell],
        modes: usize,
        dt: f64,
    ) -> Result<Self, HeatError> {
        let mut op = Operator::new(network);
        op.load(network, nominal)?;
        let faces = network.faces();
        let patches: Vec<Patch> = ports
            .patches
            .iter()
            .map(|groups| Patch {
                groups: groups
                    .iter()
                    .map(|&g| (faces[g].r_inner, faces[g].area()))
                    .collect(),
            })
            .collect();
        let mut standing: Vec<f64> = ports
            .patches
            .iter()
            .zip(&patches)
            .map(|(groups, patch)| {
                groups
                    .first()
                    .map_or(0.0, |&g| patch.conductance(nominal.faces[g].h))
            })
            .collect();
        standing.extend(ports.nodes.iter().map(|&node| {
            let here = nominal.exchange.iter().filter(|e| e.node == node);
            here.map(|e| e.conductance).sum::<f64>()
        }));
        let mut inputs: Vec<Vec<(usize, f64)>> = ports
            .patches
            .iter()
            .map(|groups| patch_weights(network, nominal, groups))
            .collect();
        inputs.extend(ports.nodes.iter().map(|&n| vec![(n, 1.0)]));
        inputs.extend_from_slice(&ports.regions);
        // Idle ports fill up the last vector.
        inputs.resize(inputs.len().next_multiple_of(LANES), Vec::new());
        standing.resize(inputs.len(), 0.0);

        let fixed = basis::steady_fields(network, &op, &inputs)?;
        let bodies: Vec<Vec<(usize, f64)>> = seeds.iter().map(|s| s.nodes.clone()).collect();
        let swings: Vec<f64> = (0..inputs.len())
            .map(|p| {
                if p < patches.len() {
                    WEATHER_SWING * standing[p]
                } else {
                    AIR_SWING
                }
            })
            .collect();
        let found = basis::build(network, &op, &fixed, &inputs, &swings, &bodies, modes)?;
        let modes = found.modes;
        // The directions are turned into the modes of the nominal fill: a steady answer there is a sum without cross terms.
        let (stiffness, capacity) = dense::project_nominal(network, &op, &found.rows, modes);
        let turned = modal::turn(&stiffness, &capacity, modes, &nominal.fill)?;
        let rows = dense::turn(&found.rows, &turned, modes);
        let (stiffness, capacity, content, loss) = dense::project(network, nominal, &rows, modes)?;

        let project = |w: &[(usize, f64)]| dense::sample_rows(&rows, modes, w);
        let port_rows: Vec<f64> = inputs.iter().flat_map(|w| project(w)).collect();
        let readings: Vec<f64> = ports.readings.iter().flat_map(|w| project(w)).collect();
        let reference = Arc::new(Modal::new(
            &stiffness,
            &capacity,
            &content,
            &loss,
            [&port_rows, &readings],
            &[],
            &nominal.fill,
            dt,
        )?);
        let count = inputs.len();
        let mut residual = vec![0.0; count * count];
        let by_modes = reference.steady_matrix();
        let exact =
            |p: usize, q: usize| -> f64 { inputs[p].iter().map(|(n, w)| w * fixed[q][*n]).sum() };
        for p in 0..count {
            for q in 0..count {
                // The same either way but for what the solver leaves.
                let both = 0.5 * (exact(p, q) + exact(q, p));
                residual[p * count + q] = both - by_modes[p * count + q];
            }
        }
        let mut readings_lack = Vec::with_capacity(ports.readings.len() * count);
        let mut rest = Vec::new();
        for (weights, rows) in ports.readings.iter().zip(readings.chunks_exact(modes)) {
            reference.rest(rows, &mut rest);
            for (field, port) in fixed.iter().zip(port_rows.chunks_exact(modes)) {
                let whole: f64 = weights.iter().map(|(n, w)| w * field[*n]).sum();
                readings_lack.push(whole - dense::dot(port, &rest));
            }
        }
        let fields = (0..network.n())
            .flat_map(|n| fixed.iter().map(move |f| f[n]))
            .collect();
        let mut this = Self {
            network: network.clone(),
            nominal: op,
            patches,
            inner: ports.nodes.len() + ports.regions.len(),
            standing,
            basis: rows,
            modes,
            stiffness,
            capacity,
            ports: port_rows,
            fields,
            residual,
            readings,
            readings_lack,
            read_at: ports.readings.clone(),
            loss,
            content,
            reference,
            modals: RwLock::default(),
            solvers: Mutex::default(),
            dt,
        };
        this.reference = this.modal(&nominal.fill)?;
        Ok(this)
    }

    /// Number of modes.
    #[must_use]
    pub fn modes(&self) -> usize {
        self.modes
    }

    /// Number of unknowns of the network behind it.
    #[must_use]
    pub fn unknowns(&self) -> usize {
        self.network.n()
    }

    /// Number of ports: patches, nodes, and idle ones.
    #[must_use]
    pub fn ports(&self) -> usize {
        self.standing.len()
    }

    /// Conductance (W/K) of patch `i` behind a film `h` (W/m2K).
    #[must_use]
    pub fn patch_conductance(&self, i: usize, h: f64) -> f64 {
        self.patches.get(i).map_or(0.0, |p| p.conductance(h))
    }

    /// Time step, s.
    #[must_use]
    pub fn dt(&self) -> f64 {
        self.dt
    }

    /// The modes at a fill (0 to 1 per zone), from a store shared by all threads.
    ///
    /// # Errors
    /// Small matrices that are not positive, as with a fill far outside 0 to 1.
    pub fn modal(&self, fill: &[f64]) -> Result<Arc<Modal>, HeatError> {
        let key: Vec<u64> = fill.iter().map(|f| f.to_bits()).collect();
        let kept = self.modals.read().unwrap_or_else(PoisonError::into_inner);
        if let Some(m) = kept.get(&key) {
            return Ok(Arc::clone(m));
        }
        drop(kept);
        let made = Arc::new(Modal::new(
            &self.stiffness,
            &self.capacity,
            &self.content,
            &self.loss,
            [&self.ports, &self.readings],
            &self.residual,
            fill,
            self.dt,
        )?);
        let mut kept = self.modals.write().unwrap_or_else(PoisonError::into_inner);
        Ok(Arc::clone(kept.entry(key).or_insert(made)))
    }

    /// What a steady watt over a surface leads to in coordinates of the basis, which are the modes of the reference fill.
    fn reference_rest(&self, surface: &[f64], out: &mut Vec<f64>) {
        self.reference.rest(surface, out);
    }

    /// What there is to know of a body at a place, but for what is close to it ([`Self::near`]).
    #[must_use]
    pub fn place(&self, shell: &Shell) -> Body {
        let rows = dense::sample_surface(&self.basis, self.modes, shell);
        let mut lacks = dense::sample_surface(&self.fields, self.ports(), shell).into_iter();
        let source = rows[0].clone();
        let mut by_basis = vec![0.0; self.ports()];
        let mut rest = Vec::new();
        let [mean, x, y, z] = rows.map(|rows| {
            self.reference.rest(&rows, &mut rest);
            dense::times(&self.ports, &rest, &mut by_basis);
            let mut fixed = lacks.next().unwrap_or_default();
            dense::add(&mut fixed, -1.0, &by_basis);
            Reading {
                fixed,
                own: dense::dot(&rest, &source),
                rows,
            }
        });
        Body {
            mean,
            slopes: [x, y, z],
        }
    }

    /// What the basis lacks close to a body: one steady solve of the whole network.
    ///
    /// # Errors
    /// A solver failure.
    pub fn near(&self, shell: &Shell) -> Result<Near, HeatError> {
        let idle = || self.solvers.lock().unwrap_or_else(PoisonError::into_inner);
        let free = idle().pop();
        let mut solver = match free {
            Some(solver) => solver,
            None => Solver::new(&self.nominal, 0.0, basis::ROUGH)?,
        };
        let field = solver.field(&self.network, &self.nominal, &shell.nodes)?;
        let rows = dense::sample_surface(&self.basis, self.modes, shell);
        let mut rest = Vec::new();
        self.reference.rest(&rows[0], &mut rest);
        idle().push(solver);
        let [x, y, z] = shell.gradient(&field);
        let whole = [shell.sample(&field), x, y, z];
        let lacks = |k: usize| whole[k] - dense::dot(&rest, &rows[k]);
        let readings = self
            .read_at
            .iter()
            .zip(self.readings.chunks_exact(self.modes));
        let lacking = readings.map(|(weights, rows)| {
            weights.iter().map(|(n, w)| w * field[*n]).sum::<f64>() - dense::dot(&rest, rows)
        });
        Ok(Near {
            mean: lacks(0),
            slopes: [lacks(1), lacks(2), lacks(3)],
            readings: lacking.collect(),
        })
    }
}

/// Weights of a patch's nodes: by area and conductance behind the nominal film; they sum to 1.
fn patch_weights(network: &Network, nominal: &Drive, groups: &[usize]) -> Vec<(usize, f64)> {
    let mut weights = Vec::new();
    for &g in groups {
        let group = &network.faces()[g];
        let u = group.u(nominal.faces[g].h);
        weights.extend(
            group
                .nodes
                .iter()
                .zip(&group.areas)
                .map(|(n, a)| (*n, u * a)),
        );
    }
    let sum: f64 = weights.iter().map(|(_, w)| w).sum();
    weights.iter_mut().for_each(|(_, w)| *w /= sum);
    weights
}

/// `-K u` in node order.
fn minus_k(op: &Operator, t: &[f64], u: &mut Field, zero: &Field, out: &mut Field) -> Vec<f64> {
    op.layout.gather(t, u);
    out.clear();
    op.add_residual(zero, u, out);
    let mut r = vec![0.0; t.len()];
    op.layout.scatter(out, &mut r);
    r
}
