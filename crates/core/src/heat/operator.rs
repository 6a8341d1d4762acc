//! The network's conductances for the drive of the moment, laid out for the solvers: `r = f - K T` in flux form.

use super::drive::Drive;
use super::error::HeatError;
use super::links::{FillPlaces, Links, fills_of, links_of};
use super::network::Network;
use super::simd_layout::{Chunk, Field, LANES, Layout, ZERO, lane_before, next_lane, wide};

/// Exchange of one node with the outside.
#[derive(Debug, Clone, Copy)]
pub(super) struct Boundary {
    node: u32,
    slot: u32,
    /// W/K.
    conductance: f64,
    /// Heat gained at zero body temperature, W.
    gain: f64,
}

/// The operator with the values of one drive.
#[derive(Debug, Clone)]
pub(super) struct Operator {
    pub layout: Layout,
    pub links: Links,
    base: Links,
    fills: Vec<FillPlaces>,
    fill: Vec<f64>,
    /// Sum of the links of each unknown, W/K.
    pub link_sum: Field,
    /// Capacity at the present fill, J/K.
    pub capacity: Field,
    base_capacity: Field,
    /// Conductance to the outside, W/K.
    pub outer: Field,
    /// Heat from outside at zero body temperature plus power, W.
    pub source: Field,
    /// Nodes that touch the outside: those with outer faces first, then one entry per exchange.
    pub boundary: Vec<Boundary>,
    /// (entry in `boundary`, group, area m2) of every outer face.
    outer_faces: Vec<(u32, u32, f64)>,
    face_nodes: usize,
    /// Power last laid out, W per node.
    power_now: Vec<f64>,
    /// Sum of the power, W, and of its absolute values.
    pub power: f64,
    pub power_abs: f64,
    /// Film and exchange values the matrix was last loaded with.
    loaded: Vec<f64>,
    /// Counts changes of the matrix.
    pub version: u64,
}

impl Operator {
    pub fn new(network: &Network) -> Self {
        let layout = Layout::new(network);
        let base = links_of(network, &layout);
        let fills = fills_of(network, &layout, &base);
        let mut base_capacity = Field::zero(&layout);
        layout.gather(network.capacity(), &mut base_capacity);
        let mut nodes: Vec<u32> = network
            .faces()
            .iter()
            .flat_map(|g| &g.nodes)
            .map(|n| *n as u32)
            .collect();
        nodes.sort_unstable();
        nodes.dedup();
        let mut outer_faces = Vec::new();
        for (g, group) in network.faces().iter().enumerate() {
            for (node, area) in group.nodes.iter().zip(&group.areas) {
                let entry = nodes.partition_point(|n| (*n as usize) < *node);
                outer_faces.push((entry as u32, g as u32, *area));
            }
        }
        let boundary: Vec<_> = nodes
            .iter()
            .map(|&node| Boundary {
                node,
                slot: layout.slot(node as usize),
                conductance: 0.0,
                gain: 0.0,
            })
            .collect();
        let mut this = Self {
            link_sum: Field::zero(&layout),
            capacity: base_capacity.clone(),
            base_capacity,
            outer: Field::zero(&layout),
            source: Field::zero(&layout),
            face_nodes: boundary.len(),
            boundary,
            outer_faces,
            power_now: vec![0.0; network.n()],
            fill: vec![0.0; fills.len()],
            fills,
            links: base.clone(),
            base,
            layout,
            power: 0.0,
            power_abs: 0.0,
            loaded: Vec::new(),
            version: 0,
        };
        this.sum_links();
        this
    }

    /// Takes over a drive. The matrix counts as changed only if a conductance or a fill did.
    pub fn load(&mut self, network: &Network, drive: &Drive) -> Result<(), HeatError> {
        drive.check(network)?;
        let mut changed = self.version == 0;
        if self.fill != drive.fill {
            self.fill.clone_from(&drive.fill);
            self.refill();
            changed = true;
        }
        let now = drive.faces.iter().map(|f| f.h);
        let now = now.chain(
            drive
                .exchange
                .iter()
                .flat_map(|e| [e.node as f64, e.conductance]),
        );
        if !now.clone().eq(self.loaded.iter().copied()) {
            self.loaded.clear();
            self.loaded.extend(now);
            changed = true;
        }
        for (node, (old, new)) in self.power_now.iter_mut().zip(&drive.power).enumerate() {
            if *old != *new {
                *old = *new;
                *self.source.at(self.layout.slot(node)) = *new;
            }
        }
        for b in &mut self.boundary {
            *self.outer.at(b.slot) = 0.0;
            *self.source.at(b.slot) = drive.power[b.node as usize];
            (b.conductance, b.gain) = (0.0, 0.0);
        }
        self.boundary.truncate(self.face_nodes);
        let u: Vec<f64> = network
            .faces()
            .iter()
            .zip(&drive.faces)
            .map(|(g, f)| g.u(f.h))
            .collect();
        for &(entry, g, area) in &self.outer_faces {
            let conductance = u[g as usize] * area;
            let b = &mut self.boundary[entry as usize];
            b.conductance += conductance;
            b.gain += conductance * drive.faces[g as usize].t;
        }
        for e in &drive.exchange {
            self.boundary.push(Boundary {
                node: e.node as u32,
                slot: self.layout.slot(e.node),
                conductance: e.conductance,
                gain: e.conductance * e.t,
            });
        }
        for b in &self.boundary {
            *self.outer.at(b.slot) += b.conductance;
            *self.source.at(b.slot) += b.gain;
        }
        (self.power, self.power_abs) = sums(&drive.power);
        self.version += u64::from(changed);
        Ok(())
    }

    /// Values of links and capacities at the present fill.
    fn refill(&mut self) {
        self.links.clone_from(&self.base);
        self.capacity.copy_from(&self.base_capacity);
        for (zone, &f) in self.fills.iter().zip(&self.fill) {
            for &(place, delta) in &zone.links {
                let array = match place.kind {
                    3 => &mut self.links.wrap,
                    k => &mut self.links.lower[usize::from(k)],
                };
                array.as_flattened_mut()[place.at as usize] += f * delta;
            }
            for &(a, at, delta) in &zone.air {
                self.links.stars[a as usize].g[at as usize] += f * delta;
            }
            for &(slot, delta) in &zone.capacity {
                *self.capacity.at(slot) += f * delta;
            }
        }
        self.sum_links();
    }

    fn sum_links(&mut self) {
        let (plane, row) = (self.layout.plane(), self.layout.row);
        let last = self.layout.chunks();
        self.link_sum.clear();
        let [la, lb, lc] = &self.links.lower;
        for p in plane..plane + last {
            let s = &mut self.link_sum.cells[p];
            for l in 0..LANES {
                s[l] = la[p][l]
                    + lb[p][l]
                    + lc[p][l]
                    + la[p + plane][l]
                    + lb[p + row][l]
                    + lc[p + 1][l];
            }
        }
        for (i, w) in self.links.wrap.iter().enumerate() {
            let before = lane_before(w);
            for l in 0..LANES {
                self.link_sum.cells[last + i][l] += w[l];
                self.link_sum.cells[plane + i][l] += before[l];
            }
        }
        for (a, star) in self.links.stars.iter().enumerate() {
            for (&s, &g) in star.slots.iter().zip(&star.g) {
                *self.link_sum.at(s) += g;
                self.link_sum.air[a] += g;
            }
        }
        for &(a, b, g) in &self.links.border {
            self.link_sum.air[a as usize] += g;
            self.link_sum.air[b as usize] += g;
        }
        for &(a, b, g) in &self.links.far {
            *self.link_sum.at(a) += g;
            *self.link_sum.at(b) += g;
        }
    }

    /// `out += source - K u` in flux form, W; `source` is either the operator's own or another.
    pub fn add_residual(&self, source: &Field, u: &Field, out: &mut Field) {
        wide!(<'a>(
            this: &'a Operator = self, source: &'a Field = source, u: &'a Field = u, out: &'a mut Field = out,
        ) -> () { this.add_residual_wide(source, u, out) });
    }

    #[inline(always)]
    fn add_residual_wide(&self, source: &Field, u: &Field, out: &mut Field) {
        let (plane, row, n) = (self.layout.plane(), self.layout.row, self.layout.chunks());
        let [la, lb, lc] = &self.links.lower;
        // Views of equal length: no bounds checks in the sweep.
        let end = plane + n;
        let t = &u.cells;
        let it = out.cells[plane..end]
            .iter_mut()
            .zip(&source.cells[plane..end])
            .zip(&self.outer.cells[plane..end]);
        let it = it
            .zip(&t[plane..end])
            .zip(&la[plane..end])
            .zip(&la[2 * plane..])
            .zip(&t[..n])
            .zip(&t[2 * plane..]);
        let it = it.zip(&lb[plane..end]).zip(&lb[plane + row..end + row]);
        let it = it
            .zip(&t[plane - row..end - row])
            .zip(&t[plane + row..end + row]);
        let it = it.zip(&lc[plane..end]).zip(&lc[plane + 1..=end]);
        let it = it.zip(&t[plane - 1..end - 1]).zip(&t[plane + 1..=end]);
        for (
            ((((((((((((((r, f), o), t), a0), a1), ta0), ta1), b0), b1), tb0), tb1), c0), c1), tc0),
            tc1,
        ) in it
        {
            for l in 0..LANES {
                let x = a0[l] * (ta0[l] - t[l]) + a1[l] * (ta1[l] - t[l]);
                let y = b0[l] * (tb0[l] - t[l]) + b1[l] * (tb1[l] - t[l]);
                let z = c0[l] * (tc0[l] - t[l]) + c1[l] * (tc1[l] - t[l]);
                r[l] += (x + y) + z + (f[l] - o[l] * t[l]);
            }
        }
        for (i, w) in self.links.wrap.iter().enumerate() {
            let (first, last) = (plane + i, n + i);
            let up = next_lane(&u.cells[first]);
            let mut flow = ZERO;
            for l in 0..LANES {
                flow[l] = w[l] * (up[l] - u.cells[last][l]);
                out.cells[last][l] += flow[l];
            }
            let flow = lane_before(&flow);
            #[allow(clippy::needless_range_loop)] // one lane of several arrays at once
            for l in 0..LANES {
                out.cells[first][l] -= flow[l];
            }
        }
        for (a, star) in self.links.stars.iter().enumerate() {
            let ta = u.air[a];
            let mut sum = source.air[a] - self.outer.air[a] * ta;
            let (flat, into) = (u.cells.as_flattened(), out.cells.as_flattened_mut());
            for (&s, &g) in star.slots.iter().zip(&star.g) {
                let flow = g * (flat[s as usize] - ta);
                sum += flow;
                into[s as usize] -= flow;
            }
            out.air[a] += sum;
        }
        for &(a, b, g) in &self.links.border {
            let flow = g * (u.air[b as usize] - u.air[a as usize]);
            out.air[a as usize] += flow;
            out.air[b as usize] -= flow;
        }
        for &(a, b, g) in &self.links.far {
            let flow = g * (u.get(b) - u.get(a));
            *out.at(a) += flow;
            *out.at(b) -= flow;
        }
    }

    /// Heat lost to the outside at temperatures `u`: (net, sum of absolute values), W.
    pub fn lost(&self, u: &Field) -> (f64, f64) {
        let (mut net, mut abs) = (0.0, 0.0);
        for b in &self.boundary {
            let q = b.conductance * u.get(b.slot) - b.gain;
            net += q;
            abs += q.abs();
        }
        (net, abs)
    }

    /// `sum C u`, J.
    pub fn stored(&self, u: &Field) -> f64 {
        wide!(<'a>(this: &'a Operator = self, u: &'a Field = u) -> f64 { this.stored_wide(u) })
    }

    #[inline(always)]
    fn stored_wide(&self, u: &Field) -> f64 {
        let mut lanes = ZERO;
        for (c, u) in self.capacity.cells.iter().zip(&u.cells) {
            for l in 0..LANES {
                lanes[l] += c[l] * u[l];
            }
        }
        lanes.iter().sum::<f64>()
            + self
                .capacity
                .air
                .iter()
                .zip(&u.air)
                .map(|(c, u)| c * u)
                .sum::<f64>()
    }
}

/// Sum and sum of absolute values.
fn sums(values: &[f64]) -> (f64, f64) {
    let (chunks, rest) = values.as_chunks::<LANES>();
    let (mut sum, mut abs) = (ZERO, ZERO);
    for c in chunks {
        for l in 0..LANES {
            sum[l] += c[l];
            abs[l] += c[l].abs();
        }
    }
    let all = |lanes: Chunk, rest: f64| lanes.iter().sum::<f64>() + rest;
    (
        all(sum, rest.iter().sum()),
        all(abs, rest.iter().map(|v| v.abs()).sum()),
    )
}
