//! Stepping a reduced network through a winter.

use super::super::balance::{Balance, Stats};
use super::super::error::HeatError;
use super::super::simd_layout::wide;
use super::body::Reading;
use super::dense::{add, add_transposed, dot, each_times, times};
use super::sweeps::Sweeps;
use super::{Body, Modal, Near, ReducedNetwork};
use std::sync::Arc;

/// Most sweeps over the ports; films far from the nominal one need about five.
const MOST_SWEEPS: usize = 200;

/// Most rounds in which the streams' temperatures are carried on from port to port.
const MOST_ROUNDS: usize = 40;
/// Rounds before the bodies' heat is known.
const FIRST_ROUNDS: usize = 2;
/// Streams' temperatures are settled to this, K.
const CARRIED: f64 = 1e-3;

/// A stream of air from one port to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PortStream {
    /// Where it comes from.
    pub from: usize,
    /// Where it goes to; it has the temperature of that port when it leaves it.
    pub to: usize,
    /// Mass flow times specific heat, W/K.
    pub conductance: f64,
}

/// What acts on each port during one step, in the order of the patches, the nodes, the regions.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PortHour {
    /// Conductance to the outside, W/K.
    pub conductance: Vec<f64>,
    /// Temperature of that outside, degC.
    pub t: Vec<f64>,
    /// Heat released, W.
    pub power: Vec<f64>,
    /// Streams between ports; the mass that comes to a port, from outside too, is as much as leaves it.
    pub streams: Vec<PortStream>,
}

/// A body in its place.
#[derive(Debug, Default)]
struct Placed {
    body: Body,
    near: Near,
    /// Its surface in modes.
    surface: Vec<f64>,
    /// Ports that the air it warms takes heat to at once, with their shares; the rest of its heat stays where it is.
    plume: Vec<(usize, f64)>,
    /// Share that stays.
    stays: f64,
    /// Where its heat goes, in modes.
    source: Vec<f64>,
    /// What the basis lacks of its own steady answer, K/W.
    own: f64,
    /// What it lacks of the gradients for a watt of its own, K/(W m).
    own_slopes: [f64; 3],
    /// Kelvins around it, at the end of a step, per watt at each port during it.
    from_ports: Vec<f64>,
    /// Kelvins at each port, mean of a step, per watt of the body during it.
    to_ports: Vec<f64>,
    /// Around it at the end of the step without this step's heat, degC.
    free: f64,
}

/// A reduced network on its way through a winter.
pub struct ReducedState<'a> {
    network: &'a ReducedNetwork,
    modal: Arc<Modal>,
    /// The fill they are for.
    fill: Vec<f64>,
    /// Modes.
    x: Vec<f64>,
    /// Modes at the end of the step without this step's heat.
    free: Vec<f64>,
    /// The same, mean of the step.
    mean: Vec<f64>,
    /// Forcing of the modes, W.
    force: Vec<f64>,
    /// Port temperatures, mean of the step, with what depends on them.
    sweeps: Sweeps,
    /// The same without the bodies' heat and what depends on the ports, degC: all, and by the ports' own heat.
    known: Vec<f64>,
    by_given: Vec<f64>,
    /// Heat that does not depend on the port, W.
    given: Vec<f64>,
    /// Streams, and the temperature each port sends them off with, degC.
    streams: Vec<PortStream>,
    sent: Vec<f64>,
    /// Change of the heat given in a round, W; work space.
    more: Vec<f64>,
    read: Vec<f64>,
    /// In coordinates of the basis; work space.
    basis_x: Vec<f64>,
    /// Heat into each port, W.
    flow: Vec<f64>,
    bodies: Vec<Placed>,
    /// Kelvins around body i per watt of body j, row by row.
    between: Vec<f64>,
    body_flow: Vec<f64>,
    around: Vec<f64>,
    stats: Stats,
}

impl<'a> ReducedState<'a> {
    /// The steady state under `hour` at a fill, without bodies.
    ///
    /// # Errors
    /// A fill that cannot be, lists of another length.
    pub fn steady(
        network: &'a ReducedNetwork,
        fill: &[f64],
        hour: &PortHour,
    ) -> Result<Self, HeatError> {
        let modal = network.modal(fill)?;
        let (n, ports) = (modal.len(), network.ports());
        let mut this = Self {
            network,
            fill: fill.to_vec(),
            x: vec![0.0; n],
            free: vec![0.0; n],
            mean: vec![0.0; n],
            force: vec![0.0; n],
            sweeps: Sweeps::new(ports),
            known: vec![0.0; ports],
            by_given: vec![0.0; ports],
            given: vec![0.0; ports],
            streams: Vec::new(),
            sent: vec![0.0; ports],
            more: vec![0.0; ports],
            read: Vec::new(),
            basis_x: vec![0.0; n],
            flow: vec![0.0; ports],
            bodies: Vec::new(),
            between: Vec::new(),
            body_flow: Vec::new(),
            around: Vec::new(),
            stats: Stats::default(),
            modal,
        };
        this.load(hour)?;
        times(&this.modal.steady, &this.given, &mut this.known);
        this.sweep(|m| &m.steady, true, MOST_SWEEPS);
        this.carry(|m| &m.steady, MOST_ROUNDS, MOST_SWEEPS);
        add_transposed(&this.modal.ports, &this.flow, &mut this.force);
        for ((x, f), r) in this.x.iter_mut().zip(&this.force).zip(this.modal.rates()) {
            *x = f / r;
        }
        Ok(this)
    }

    /// Places one more body, between others that sum to 1 by their shares; `near` are what the basis lacks there, with shares too, `plume` the ports that part
    /// of its heat goes to, with their shares.
    pub fn add_body<'b>(
        &mut self,
        parts: impl IntoIterator<Item = (f64, &'b Body)>,
        near: impl IntoIterator<Item = (f64, &'b Near)>,
        plume: &[(usize, f64)],
    ) {
        self.bodies.push(Placed::default());
        self.body_flow.push(0.0);
        self.around.push(0.0);
        self.move_body(self.bodies.len() - 1, parts, near, plume);
    }

    /// Moves body `i`, which must exist, to a place between others.
    pub fn move_body<'b>(
        &mut self,
        i: usize,
        parts: impl IntoIterator<Item = (f64, &'b Body)>,
        near: impl IntoIterator<Item = (f64, &'b Near)>,
        plume: &[(usize, f64)],
    ) {
        let placed = &mut self.bodies[i];
        placed.near.blend(near);
        placed.body.blend(parts);
        placed.plume.clear();
        placed.plume.extend_from_slice(plume);
        placed.stays = 1.0 - plume.iter().map(|p| p.1).sum::<f64>();
        self.settle_place(i);
        self.relate();
    }

    /// Goes over to another fill; temperatures stay as they are.
    ///
    /// # Errors
    /// A fill that cannot be.
    pub fn refill(&mut self, fill: &[f64]) -> Result<(), HeatError> {
        if fill == self.fill {
            return Ok(());
        }
        let modal = self.network.modal(fill)?;
        self.fill.clear();
        self.fill.extend_from_slice(fill);
        modal.take_over(&self.modal, &mut self.x);
        self.modal = modal;
        for i in 0..self.bodies.len() {
            self.settle_place(i);
        }
        self.relate();
        Ok(())
    }

    fn settle_place(&mut self, i: usize) {
        let placed = &mut self.bodies[i];
        let modal = &self.modal;
        let mean = &placed.body.mean;
        modal.body(&mean.rows, &mut placed.surface);
        modal.to_ports(
            &placed.surface,
            &mean.fixed,
            &mut placed.from_ports,
            &mut placed.to_ports,
        );
        // What is given is not spread like what is felt: part of it goes with the air.
        let n = modal.len();
        placed.source.clear();
        placed
            .source
            .extend(placed.surface.iter().map(|s| placed.stays * s));
        placed.to_ports.iter_mut().for_each(|k| *k *= placed.stays);
        for &(p, share) in &placed.plume {
            add(&mut placed.source, share, &modal.ports[p * n..(p + 1) * n]);
            let ports = placed.to_ports.len();
            add(
                &mut placed.to_ports,
                share,
                &modal.response[p * ports..(p + 1) * ports],
            );
        }
        // What is lacking is that of the reference fill, whatever the fill. A mean of surfaces answers itself less than they do on
        // average: that is lacking too.
        self.network.reference_rest(&mean.rows, &mut self.basis_x);
        let blurred = |r: &Reading| r.own - dot(&self.basis_x, &r.rows);
        placed.own = (placed.near.mean + blurred(mean)).max(0.0);
        let slopes = placed.body.slopes.iter().zip(placed.near.slopes);
        for (own, (reading, near)) in placed.own_slopes.iter_mut().zip(slopes) {
            *own = near + blurred(reading);
        }
    }

    fn relate(&mut self) {
        let count = self.bodies.len();
        self.between.clear();
        for (i, a) in self.bodies.iter().enumerate() {
            for (j, b) in self.bodies.iter().enumerate() {
                let own = if i == j { a.own } else { 0.0 };
                let stays = own + self.modal.step_between(&a.surface, &b.surface);
                let goes = b.plume.iter().map(|(p, share)| share * a.from_ports[*p]);
                self.between.push(b.stays * stays + goes.sum::<f64>());
            }
        }
        debug_assert_eq!(self.between.len(), count * count);
    }

    /// Advances by one step under `hour` with the bodies giving `flow` watts each.
    ///
    /// # Errors
    /// Lists of another length.
    pub fn step(&mut self, hour: &PortHour, flow: &[f64]) -> Result<(), HeatError> {
        self.load(hour)?;
        each_times(&self.x, &self.modal.decay, &mut self.free);
        each_times(&self.x, &self.modal.mean_left, &mut self.mean);
        times(&self.modal.ports, &self.mean, &mut self.known);
        times(&self.modal.response, &self.given, &mut self.by_given);
        add(&mut self.known, 1.0, &self.by_given);
        for b in &mut self.bodies {
            times(&b.surface, &self.free, std::slice::from_mut(&mut b.free));
        }
        self.stats.steps += 1;
        self.body_flow.copy_from_slice(&flow[..self.bodies.len()]);
        for (b, q) in self.bodies.iter().zip(&self.body_flow) {
            add(&mut self.known, *q, &b.to_ports);
        }
        // A sweep or two are enough to tell what the bodies will find; `correct` settles it.
        self.sweep(|m| &m.response, true, 1);
        self.carry(|m| &m.response, FIRST_ROUNDS, 1);
        self.find();
        Ok(())
    }

    /// Puts other heats of the bodies in place of those of the last step.
    pub fn correct(&mut self, flow: &[f64]) {
        for ((b, q), new) in self.bodies.iter().zip(&mut self.body_flow).zip(flow) {
            self.sweeps.warm(new - *q, &b.to_ports);
            *q = *new;
        }
        self.sweep(|m| &m.response, false, MOST_SWEEPS);
        self.carry(|m| &m.response, MOST_ROUNDS, MOST_SWEEPS);
        self.find();
    }

    /// Temperatures around the bodies by the heats that are.
    fn find(&mut self) {
        let count = self.bodies.len();
        for (i, b) in self.bodies.iter().enumerate() {
            self.around[i] = b.free
                + dot(&b.from_ports, &self.flow)
                + dot(&self.between[i * count..(i + 1) * count], &self.body_flow);
        }
    }

    /// Makes the step final.
    pub fn commit(&mut self) {
        let m = &self.modal;
        self.force.fill(0.0);
        add_transposed(&m.ports, &self.flow, &mut self.force);
        for (b, q) in self.bodies.iter().zip(&self.body_flow) {
            add(&mut self.force, *q, &b.source);
        }
        let [stored, lost] = m.end_step(&self.x, &mut self.free, &self.force, &mut self.mean);
        std::mem::swap(&mut self.x, &mut self.free);
        let dt = self.network.dt;
        let heat = self.flow.iter().chain(&self.body_flow);
        let (net, abs) = heat.fold((0.0, 0.0), |(n, a), q| (n + q, a + q.abs()));
        self.stats.balance.add(&Balance {
            supplied: net * dt,
            stored,
            lost,
            throughput: abs * dt + lost.abs(),
        });
    }

    fn load(&mut self, hour: &PortHour) -> Result<(), HeatError> {
        let ports = self.network.patches.len() + self.network.inner;
        for (what, list) in [
            ("port conductances", &hour.conductance),
            ("port temperatures", &hour.t),
            ("port powers", &hour.power),
        ] {
            if list.len() != ports {
                return Err(HeatError::DriveLength {
                    what,
                    got: list.len(),
                    expected: ports,
                });
            }
        }
        // Idle ports stay at nothing.
        for p in 0..ports {
            self.sweeps.extra[p] = hour.conductance[p] - self.network.standing[p];
            self.given[p] = hour.conductance[p] * hour.t[p] + hour.power[p];
        }
        // To begin with streams bring what ports had over the last step.
        self.sent.copy_from_slice(&self.sweeps.t);
        self.streams.clone_from(&hour.streams);
        for s in &self.streams {
            self.sweeps.extra[s.to] += s.conductance;
            self.given[s.to] += s.conductance * self.sent[s.from];
        }
        Ok(())
    }

    /// Port temperatures and the flows that depend on them, by the ports' `answers` to one another; in at most so many sweeps,
    /// `anew` at a step's start, when the conductances have changed.
    fn sweep(&mut self, answers: fn(&Modal) -> &[f64], anew: bool, most: usize) {
        let matrix = answers(&self.modal);
        let sweeps = &mut self.sweeps;
        if anew {
            sweeps.start(matrix, &self.known);
        }
        self.stats.iterations += wide!(<'b>(sweeps: &'b mut Sweeps = sweeps, matrix: &'b [f64] = matrix, most: usize = most) -> usize {
            sweeps.run(matrix, most)
        });
        self.stats.solves += 1;
        self.sweeps.draw();
        for ((flow, given), drawn) in self
            .flow
            .iter_mut()
            .zip(&self.given)
            .zip(self.sweeps.drawn())
        {
            *flow = given - drawn;
        }
    }

    /// Carries the ports' temperatures on with the streams until they no longer change.
    fn carry(&mut self, answers: fn(&Modal) -> &[f64], rounds: usize, sweeps: usize) {
        for _ in 0..rounds {
            self.more.fill(0.0);
            let mut most = 0.0f64;
            for s in &self.streams {
                let change = self.sweeps.t[s.from] - self.sent[s.from];
                most = most.max(change.abs());
                self.more[s.to] += s.conductance * change;
            }
            if most <= CARRIED {
                break;
            }
            self.sent.copy_from_slice(&self.sweeps.t);
            add(&mut self.given, 1.0, &self.more);
            self.sweeps.warm_all(&self.more, answers(&self.modal));
            self.sweep(answers, false, sweeps);
        }
    }

    /// Temperature around body `i` at the end of the step, degC.
    #[must_use]
    pub fn around(&self, i: usize) -> f64 {
        self.around[i]
    }

    /// Temperature to be expected around body `i` with other flows, ports as they are, degC.
    #[must_use]
    pub fn expected(&self, i: usize, flow: &[f64]) -> f64 {
        let count = self.bodies.len();
        (0..count).fold(self.around[i], |t, j| {
            t + self.between[i * count + j] * (flow[j] - self.body_flow[j])
        })
    }

    /// Kelvins around body `i` per watt of body `j` over one step.
    #[must_use]
    pub fn response(&self, i: usize, j: usize) -> f64 {
        self.between[i * self.bodies.len() + j]
    }

    /// Kelvins around body `i` per watt that body `j` gives, when all has settled, at the nominal drive and the present fill.
    #[must_use]
    pub fn settled(&self, i: usize, j: usize) -> f64 {
        let (a, b, n) = (&self.bodies[i], &self.bodies[j], self.modal.len());
        let goes = b.plume.iter().map(|(p, share)| {
            let port = &self.modal.ports[p * n..(p + 1) * n];
            share * (a.body.mean.fixed[*p] + self.modal.steady_between(&a.surface, port))
        });
        let own = if i == j { a.own } else { 0.0 };
        b.stays * (own + self.modal.steady_between(&a.surface, &b.surface)) + goes.sum::<f64>()
    }

    /// Temperature of a surface at rest with no heat of its own: what a probe placed there reads now, degC.
    #[must_use]
    pub fn probe<'b>(&self, parts: impl IntoIterator<Item = (f64, &'b Body)>) -> f64 {
        let mut y = Vec::new();
        self.modal.to_basis(&self.x, &mut y);
        let read = |b: &Body| dot(&b.mean.rows, &y) + dot(&b.mean.fixed, &self.flow);
        parts.into_iter().map(|(share, b)| share * read(b)).sum()
    }

    /// Gradient of temperature over the surface of each body at the end of the last step made final, K/m.
    pub fn gradients(&mut self) -> impl Iterator<Item = [f64; 3]> {
        self.modal.to_basis(&self.x, &mut self.basis_x);
        let flows = self.bodies.iter().zip(&self.body_flow);
        flows.map(|(b, q)| {
            std::array::from_fn(|a| {
                let r = &b.body.slopes[a];
                let goes = b.plume.iter().map(|(p, share)| share * r.fixed[*p]);
                dot(&r.rows, &self.basis_x)
                    + dot(&r.fixed, &self.flow)
                    + (b.stays * b.own_slopes[a] + goes.sum::<f64>()) * q
            })
        })
    }

    /// Temperatures of the ports from `first` on at the end of the last step made final, degC, as many as `t` has room for.
    pub fn ports(&mut self, first: usize, t: &mut [f64]) {
        let (n, ports) = (self.modal.len(), self.flow.len());
        let rows = first..first + t.len();
        let lacks = &self.network.residual;
        times(&self.modal.ports[rows.start * n..rows.end * n], &self.x, t);
        let more = &mut self.more[..t.len()];
        times(
            &lacks[rows.start * ports..rows.end * ports],
            &self.flow,
            more,
        );
        add(t, 1.0, more);
        for (b, q) in self.bodies.iter().zip(&self.body_flow) {
            add(t, q * b.stays, &b.body.mean.fixed[rows.clone()]);
            for &(p, share) in &b.plume {
                // What is lacking is the same both ways.
                add(
                    t,
                    q * share,
                    &lacks[p * ports..(p + 1) * ports][rows.clone()],
                );
            }
        }
    }

    /// What is only read, at the end of the last step made final, degC.
    pub fn readings(&mut self, t: &mut Vec<f64>) {
        let count = self.modal.readings.len() / self.modal.len();
        t.resize(count, 0.0);
        self.read.resize(count, 0.0);
        times(&self.modal.readings, &self.x, t);
        // What plumes bring reaches ports as what flows there does.
        self.more.copy_from_slice(&self.flow);
        for (b, q) in self.bodies.iter().zip(&self.body_flow) {
            add(t, q * b.stays, &b.near.readings);
            b.plume
                .iter()
                .for_each(|(p, share)| self.more[*p] += q * share);
        }
        times(&self.network.readings_lack, &self.more, &mut self.read);
        add(t, 1.0, &self.read);
    }

    /// The modes as a field of the whole network, degC; what the basis lacks near ports and bodies is not in it.
    #[must_use]
    pub fn field(&self) -> Vec<f64> {
        let mut y = Vec::new();
        self.modal.to_basis(&self.x, &mut y);
        let mut t = vec![0.0; self.network.unknowns()];
        times(&self.network.basis, &y, &mut t);
        t
    }

    /// What was done so far, with the heat balance.
    #[must_use]
    pub fn stats(&self) -> Stats {
        self.stats
    }
}
