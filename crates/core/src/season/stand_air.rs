//! The air of a stand hour by hour: what enters, what moves inside, and what heat goes with it.

use super::place::Place;
use crate::boundary::SiteExposure;
use crate::boundary::air::{AIR_PER_CO2, OUTSIDE_CO2, SPECIFIC_HEAT};
use crate::boundary::seams::{Driven, Flows};
use crate::boundary::ventilation::{self, Crack, Draught, VentOpening, VentParams};
use crate::hive::{AirPort, AirSpace, Hive, StackAir};
use crate::region::{Ball, Region};

/// Share of a new hour's flow that is taken over at once: half, so that flows and temperatures do not chase each other from hour to hour.
const TAKEN: f64 = 0.5;
/// Share of a seam full of bees through which air still moves (a choice: bees in a tight cluster leave a few hundredths of it open).
const BETWEEN_BEES: f64 = 0.05;
/// Kelvins over what bees put up with at which all that can do so fan (a choice).
const FULL_FANNING: f64 = 4.0;

/// A cluster as the air meets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Occupant {
    /// Where it is.
    pub place: Place,
    /// Carbon dioxide it gives off, kg/s.
    pub carbon_dioxide: f64,
    /// Water it gives off, kg/s.
    pub water: f64,
    /// Temperature around it, degC.
    pub around_c: f64,
}

/// Air that moves from one port of a stand to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stream {
    /// Where it comes from.
    pub from: usize,
    /// Where it goes to.
    pub to: usize,
    /// Mass flow times specific heat, W/K.
    pub conductance: f64,
}

/// What the air of one stack does in an hour.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MovingAir {
    /// Through each channel, kg/s, positive from its first space to its second.
    pub channels: Vec<f64>,
    /// Outside air into each space, kg/s.
    pub enters: Vec<f64>,
    /// Into each mouth of a mesh floor, kg/s; negative outwards.
    pub mouths: Vec<f64>,
    /// Outside air into the stack, kg/s.
    pub fresh: f64,
    /// Of which bees fan, kg/s.
    pub fanned: f64,
    free: Vec<f64>,
    /// Space with most bees.
    pub bees: Option<usize>,
    /// Spaces that breath rises to, with their shares.
    pub rises: Vec<(usize, f64)>,
    /// What clusters take up.
    pub balls: Vec<Ball>,
    blocked_by: Vec<Place>,
    inside_c: Vec<f64>,
    fed: Vec<f64>,
    entering: Vec<f64>,
    profile: Vec<(f64, f64)>,
    draught: Draught,
    flows: Flows,
}

/// Distance of the points a region's plan is sampled at, m.
const SAMPLED: f64 = 0.02;

/// A region in space, whatever the grid: points of its plan, of equal area, and its height.
#[derive(Default)]
struct Column {
    points: Vec<[f64; 2]>,
    /// From-to of the points, m.
    plan: [[f64; 2]; 2],
    z: [f64; 2],
}

impl Column {
    fn new(points: Vec<[f64; 2]>, z: [f64; 2]) -> Self {
        let none = [f64::INFINITY, f64::NEG_INFINITY];
        let plan = points.iter().fold([none; 2], |b, at| {
            std::array::from_fn(|a| [b[a][0].min(at[a]), b[a][1].max(at[a])])
        });
        Self { points, plan, z }
    }

    /// Share of it that lies between two heights over points of the plan that pass a test; the test gives the heights. `within` is what all
    /// that can pass lies in, m.
    fn share(&self, within: [[f64; 2]; 3], inside: impl Fn(&[f64; 2]) -> Option<[f64; 2]>) -> f64 {
        let [x, y] = self.plan;
        let apart = |a: [f64; 2], b: [f64; 2]| a[1] < b[0] || b[1] < a[0];
        if apart(x, within[0]) || apart(y, within[1]) || apart(self.z, within[2]) {
            return 0.0;
        }
        let height = (self.z[1] - self.z[0]) * self.points.len() as f64;
        let all = self.points.iter().filter_map(inside);
        let common = all.map(|[from, to]| (to.min(self.z[1]) - from.max(self.z[0])).max(0.0));
        common.sum::<f64>() / height.max(f64::MIN_POSITIVE)
    }
}

/// One stack's air, ready for the weather.
pub struct PreparedAir {
    air: StackAir,
    /// Place of each space's port among the stand's.
    ports: Vec<usize>,
    /// Each space that is a region, in space.
    columns: Vec<Column>,
    /// Volume of each space, m3.
    volumes: Vec<f64>,
    /// Top of the combs, m, and the highest space over them.
    top: f64,
    highest: Option<usize>,
    /// Openings, a mesh floor last.
    openings: Vec<VentOpening>,
    cracks: Vec<Crack>,
    /// Height at which each level begins, m, and its spaces with their shares.
    levels: Vec<(f64, Vec<(usize, f64)>)>,
    /// Space bees walk in, and its low corner, m.
    region: Region,
    corner: [f64; 3],
    /// Height of the openings above ground, m.
    pub z: f64,
    under_mesh: f64,
}

impl PreparedAir {
    /// The air of stack `i`; `port` tells where a port stands among the stand's.
    pub fn of(
        hive: &Hive,
        i: usize,
        port: impl Fn(AirPort) -> usize,
        stand_height: f64,
        site: &SiteExposure,
    ) -> Self {
        let air = hive.stacks[i].air.clone();
        let wind = &site.table.pressure;
        let mut openings: Vec<VentOpening> = air
            .vents
            .iter()
            .map(|v| VentOpening {
                area: v.area,
                height: v.height,
                z: v.z,
                wind_pressure: wind.windward,
            })
            .collect();
        let z =
            stand_height + openings.iter().map(|o| o.z).sum::<f64>() / openings.len().max(1) as f64;
        openings.extend(air.mesh.map(|(area, z)| VentOpening {
            area,
            height: 0.0,
            z,
            wind_pressure: wind.leeward,
        }));
        let cracks = air
            .cracks
            .iter()
            .map(|leak| Crack {
                wind_pressure: if leak.front {
                    wind.windward
                } else {
                    wind.leeward
                },
                ..leak.crack
            })
            .collect();
        let columns = air
            .spaces
            .iter()
            .map(|s| match s.port {
                AirPort::Node(_) => Column::default(),
                AirPort::Region(_) => Column::new(s.points(SAMPLED), s.z),
            })
            .collect();
        let levels = air.levels();
        let size = |s: &AirSpace| s.area() * (s.z[1] - s.z[0]);
        let top = hive.stacks[i].bounds[2][1];
        let highest = air.spaces.iter().rposition(|s| s.z[1] > top);
        Self {
            volumes: air.spaces.iter().map(size).collect(),
            highest,
            top,
            ports: air.spaces.iter().map(|s| port(s.port)).collect(),
            corner: hive.stacks[i].bounds.map(|b| b[0]),
            region: hive.stacks[i].region.clone(),
            under_mesh: wind.leeward,
            openings,
            cracks,
            columns,
            levels,
            air,
            z,
        }
    }

    /// Works out what the air does in an hour of weather with the bees that are there; `port_c` tells the temperature of each port, degC.
    pub fn hour(
        &self,
        moving: &mut MovingAir,
        outdoor_c: f64,
        wind: f64,
        params: &VentParams,
        here: impl Iterator<Item = Occupant> + Clone,
        port_c: impl Fn(usize) -> f64,
    ) {
        let spaces = self.air.spaces.len();
        let anew = moving.enters.len() != spaces;
        if anew {
            moving.channels = vec![0.0; self.air.ways.channels.len()];
            moving.enters = vec![0.0; spaces];
            moving.mouths = vec![0.0; self.air.ways.mouths.len()];
        }
        moving.inside_c.clear();
        moving
            .inside_c
            .extend(self.ports.iter().map(|p| port_c(*p)));
        self.block(moving, here.clone());
        let inside =
            |level: &[(usize, f64)]| level.iter().map(|(s, w)| w * moving.inside_c[*s]).sum();
        moving.profile.clear();
        moving
            .profile
            .extend(self.levels.iter().map(|(z, level)| (*z, inside(level))));
        ventilation::through(
            &self.openings,
            &self.cracks,
            &moving.profile,
            outdoor_c,
            wind,
            params,
            &mut moving.draught,
        );
        let share = if anew { 1.0 } else { TAKEN };
        moving.fed.clear();
        moving.fed.resize(spaces, 0.0);
        moving.entering.clear();
        moving.entering.resize(spaces, 0.0);
        let behind = self.air.vents.iter().map(|v| Some(v.space));
        let behind = behind
            .chain(self.air.mesh.map(|_| None))
            .chain(self.air.cracks.iter().map(|c| Some(c.space)));
        for (passing, space) in moving.draught.passing.iter().zip(behind) {
            if let Some(s) = space {
                moving.fed[s] += passing.enters - passing.leaves;
                moving.entering[s] += passing.enters;
            }
        }
        let pressure =
            ventilation::wind_pressure(self.under_mesh, wind, outdoor_c, params.pressure);
        let by = Driven {
            inside_c: &moving.inside_c,
            free: &moving.free,
            fed: &moving.fed,
            outdoor_c,
            at_mouths: pressure,
            pressure: params.pressure,
        };
        self.air.ways.solve(&by, &mut moving.flows);
        for (old, new) in [
            (&mut moving.channels, &moving.flows.channels),
            (&mut moving.mouths, &moving.flows.mouths),
            (&mut moving.enters, &moving.entering),
        ] {
            old.iter_mut()
                .zip(new)
                .for_each(|(old, new)| *old += share * (new - *old));
        }
        moving.fresh = moving.enters.iter().sum::<f64>()
            + moving.mouths.iter().map(|m| m.max(0.0)).sum::<f64>();
        let made: f64 = here.map(|o| o.carbon_dioxide).sum();
        let for_breath = made * AIR_PER_CO2 / (params.carbon_dioxide - OUTSIDE_CO2) - moving.fresh;
        let fanned = match moving.bees {
            Some(bees) if !self.openings.is_empty() => {
                let heat = (moving.inside_c[bees] - params.fan_over) / FULL_FANNING;
                for_breath.max(heat.min(1.0) * params.fan_most).max(0.0)
            }
            _ => 0.0,
        };
        moving.fanned += share * (fanned - moving.fanned);
        moving.fresh += moving.fanned;
    }

    /// Shares of the spaces that clusters leave free.
    fn block(&self, moving: &mut MovingAir, here: impl Iterator<Item = Occupant> + Clone) {
        let places = here.map(|o| o.place);
        if moving.free.len() == self.columns.len()
            && places.clone().eq(moving.blocked_by.iter().copied())
        {
            return;
        }
        moving.blocked_by.clear();
        moving.blocked_by.extend(places);
        moving.balls.clear();
        let balls = moving.blocked_by.iter().map(|p| self.ball(p));
        moving.balls.extend(balls);
        moving.free.clear();
        moving.free.extend(self.columns.iter().map(|column| {
            let by = moving.balls.iter();
            let taken: f64 = by.map(|b| self.within(column, b)).sum();
            BETWEEN_BEES + (1.0 - BETWEEN_BEES) * (1.0 - taken).max(0.0)
        }));
        let fullest = |a: &usize, b: &usize| moving.free[*a].total_cmp(&moving.free[*b]);
        moving.bees = (0..moving.free.len())
            .min_by(fullest)
            .filter(|_| !moving.blocked_by.is_empty());
        match moving.balls.first() {
            Some(ball) => self.over(ball, &mut moving.rises),
            None => moving.rises.clear(),
        }
        if let (true, Some(bees)) = (moving.rises.is_empty(), moving.bees) {
            moving.rises.push((bees, 1.0));
        }
    }

    /// What a cluster takes up.
    #[must_use]
    pub fn ball(&self, place: &Place) -> Ball {
        let seat = std::array::from_fn(|a| self.corner[a] + place.centre[a]);
        self.region.ball(seat, place.radius)
    }

    /// Share of a zone that a cluster covers.
    fn within(&self, column: &Column, ball: &Ball) -> f64 {
        let near = ball.seat.map(|c| [c - ball.radius, c + ball.radius]);
        column.share(near, |at| self.region.span(ball, *at, column.z))
    }

    /// Spaces of the seams over a cluster, from half its radius over its middle to as much over its top, with their shares; what would be
    /// over the combs goes to the highest space.
    pub fn over(&self, ball: &Ball, found: &mut Vec<(usize, f64)>) {
        let (at, r) = (ball.seat, ball.radius);
        let [from, to] = [at[2] + 0.5 * r, at[2] + 1.5 * r];
        found.clear();
        for (s, (column, volume)) in self.columns.iter().zip(&self.volumes).enumerate() {
            let within = [[at[0] - r, at[0] + r], [at[1] - r, at[1] + r], [from, to]];
            let over = column.share(within, |p| {
                let off = (p[0] - at[0]).powi(2) + (p[1] - at[1]).powi(2);
                (off < r * r).then_some([from, to])
            });
            if over > 0.0 {
                found.push((s, over * volume));
            }
        }
        let sum: f64 = found.iter().map(|f| f.1).sum();
        let beyond = match self.highest {
            Some(_) if sum <= 0.0 => 1.0,
            Some(_) => ((to - self.top) / r).clamp(0.0, 1.0),
            None => 0.0,
        };
        found.iter_mut().for_each(|f| f.1 *= (1.0 - beyond) / sum);
        if let (true, Some(high)) = (beyond > 0.0, self.highest) {
            found.push((high, beyond));
        }
    }

    /// Puts what the air carries into the stand's ports: conductance to outside air, W/K, and streams.
    pub fn carry(&self, moving: &MovingAir, exchange: &mut [f64], streams: &mut Vec<Stream>) {
        let cp = SPECIFIC_HEAT;
        for (p, m) in self.ports.iter().zip(&moving.enters) {
            exchange[*p] += cp * m;
        }
        for (mouth, m) in self.air.ways.mouths.iter().zip(&moving.mouths) {
            exchange[self.ports[mouth.space]] += cp * m.max(0.0);
        }
        let mut stream = |a: usize, b: usize, m: f64| {
            let (from, to) = if m > 0.0 { (a, b) } else { (b, a) };
            if m != 0.0 {
                streams.push(Stream {
                    from: self.ports[from],
                    to: self.ports[to],
                    conductance: cp * m.abs(),
                });
            }
        };
        for (c, m) in self.air.ways.channels.iter().zip(&moving.channels) {
            stream(c.ends[0], c.ends[1], *m);
        }
        if let Some((door, bees, m)) = self.fanned(moving) {
            exchange[self.ports[door]] += cp * m;
            if door != bees {
                stream(door, bees, m);
            }
        }
    }

    /// What bees fan, kg/s: from the space behind the lowest opening to theirs.
    #[must_use]
    pub fn fanned(&self, moving: &MovingAir) -> Option<(usize, usize, f64)> {
        let bees = moving.bees.filter(|_| moving.fanned > 0.0)?;
        let vents = self.air.vents.iter();
        let lowest = vents.min_by(|a, b| a.z.total_cmp(&b.z));
        Some((lowest.map_or(bees, |v| v.space), bees, moving.fanned))
    }

    /// Port of each space among the stand's.
    #[must_use]
    pub fn ports(&self) -> &[usize] {
        &self.ports
    }
}
