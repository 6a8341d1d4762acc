//! Assembly of a [`Network`]: numbering, links, outer faces, capacities.

use super::error::HeatError;
use super::faces::{OuterFace, Side, group};
use super::grid::Grid;
use super::medium::{
    AIR_HEAT_CAPACITY, AirNode, FillZone, Medium, Role, check_air, check_solid, check_zone,
};
use super::network::{AirLink, Edge, ExtraLink, FillDelta, NONE, Network, NodeRef};

impl Network {
    /// Assembles the network.
    ///
    /// Conductances (W/K), all per face of area `A`: solid to solid `A / (d1/2k1 + d2/2k2)`; solid to air
    /// `A / (d/2k + 1/film)`, with films of air and radiation `h1`, `h2` parted `A h1/(h1 + h2) / (d/2k + 1/(h1 + h2))` to either and, between the
    /// two, `A h1 h2 (d/2k) / (1 + (d/2k)(h1 + h2))` (at fill 0 throughout); outer faces see [`FaceGroup`](super::faces::FaceGroup). Air and outside cells are not unknowns; an air cell adds
    /// its volume times [`super::AIR_HEAT_CAPACITY`] to its node. Air next to air or to outside exchanges nothing by itself:
    /// use `links` and [`super::Exchange`]. A link between two fill zones takes half its change from each; outer faces
    /// of cells in fill zones keep the base medium.
    ///
    /// `zones` is the number of outside zones; `edges` says what lies beyond the grid, in the order of [`Side::ALL`].
    ///
    /// # Errors
    /// Any shape, index or value that does not fit; see [`HeatError`].
    pub fn build(
        grid: &Grid,
        medium: &Medium,
        air: &[AirNode],
        zones: usize,
        fills: &[FillZone],
        links: &[ExtraLink],
        edges: [Edge; 6],
    ) -> Result<Self, HeatError> {
        // The planes are public: check them again.
        let grid = Grid::new(grid.x.clone(), grid.y.clone(), grid.z.clone())?;
        medium.check(&grid)?;
        check_air(air)?;
        for edge in edges {
            if let Edge::Zone(zone) = edge {
                check_zone(zone, zones)?;
            }
        }
        let mut net = Self::number(grid, medium, air, zones)?;
        let fill_of_cell = net.check_fills(fills)?;
        let mut faces = Vec::new();
        net.join(medium, fills, &fill_of_cell, edges, &mut faces);
        net.faces = group(faces);
        net.store(medium, fills);
        for (a, (to, g)) in std::mem::take(&mut net.past_surfaces)
            .into_iter()
            .enumerate()
        {
            if g > 0.0 {
                let first = net.cell_of_node.len() as u32;
                net.extra.push((first + a as u32, first + to, g));
            }
        }
        net.add_extra(links)?;
        net.find_parts();
        Ok(net)
    }

    /// Numbers the unknowns.
    fn number(
        grid: Grid,
        medium: &Medium,
        air: &[AirNode],
        zones: usize,
    ) -> Result<Self, HeatError> {
        let cells = grid.cells();
        let mut node_of_cell = vec![NONE; cells];
        let mut air_of_cell = vec![NONE; cells];
        let mut cell_of_node = Vec::new();
        for (cell, role) in medium.role.iter().enumerate() {
            match *role {
                Role::Solid => {
                    node_of_cell[cell] = cell_of_node.len() as u32;
                    cell_of_node.push(cell as u32);
                }
                Role::Air(a) => {
                    if usize::from(a) >= air.len() {
                        return Err(HeatError::UnknownAirNode {
                            cell,
                            index: a,
                            count: air.len(),
                        });
                    }
                    air_of_cell[cell] = u32::from(a);
                }
                Role::Outside(zone) => check_zone(zone, zones)?,
            }
        }
        if cell_of_node.is_empty() && air.is_empty() {
            return Err(HeatError::Empty);
        }
        let n = cell_of_node.len() + air.len();
        Ok(Self {
            node_of_cell,
            cell_of_node,
            air_of_cell,
            air: air.to_vec(),
            links: [vec![0.0; cells], vec![0.0; cells], vec![0.0; cells]],
            air_links: vec![Vec::new(); air.len()],
            extra: Vec::new(),
            past_surfaces: vec![(0, 0.0); air.len()],
            capacity: vec![0.0; n],
            faces: Vec::new(),
            fills: Vec::new(),
            air_volume: vec![0.0; air.len()],
            part: Vec::new(),
            parts: 0,
            grid,
        })
    }

    /// Fill zone of each cell (`NONE` for none), and the empty deltas.
    fn check_fills(&mut self, fills: &[FillZone]) -> Result<Vec<u32>, HeatError> {
        let mut of_cell = vec![NONE; self.grid.cells()];
        for (z, zone) in fills.iter().enumerate() {
            let bad = |cell, what| HeatError::BadFill {
                name: zone.name.clone(),
                cell,
                what,
            };
            for &cell in &zone.cells {
                if self.cell_node(cell).is_none() {
                    return Err(bad(cell, "is not a solid cell"));
                }
                if of_cell[cell] != NONE {
                    return Err(bad(cell, "is in a fill zone already"));
                }
                check_solid(cell, zone.full.k, zone.full.rho_c)?;
                of_cell[cell] = z as u32;
            }
        }
        self.fills = vec![FillDelta::default(); fills.len()];
        Ok(of_cell)
    }

    /// Links all pairs of neighbouring cells and collects the outer faces.
    fn join(
        &mut self,
        medium: &Medium,
        fills: &[FillZone],
        fill_of_cell: &[u32],
        edges: [Edge; 6],
        faces: &mut Vec<OuterFace>,
    ) {
        let grid = self.grid.clone();
        let shape = grid.shape();
        let full_k = |cell: usize, axis: usize| match fill_of_cell[cell] {
            NONE => None,
            z => Some(fills[z as usize].full.k[axis]),
        };
        for (cell, (at, role)) in medium.role.indexed_iter().enumerate() {
            let at = [at.0, at.1, at.2];
            for axis in 0..3 {
                let area = grid.volume(at[0], at[1], at[2]) / grid.width(axis, at[axis]);
                let half = 0.5 * grid.width(axis, at[axis]);
                let r = half / medium.k[axis][at];
                let outer = |plus: bool, zone: u16| {
                    let side = Side::of(axis, plus);
                    let mut centroid = grid.cell_centre(at[0], at[1], at[2]);
                    centroid[axis] += side.sign() * half;
                    OuterFace {
                        zone,
                        side,
                        r_inner: r,
                        cell,
                        node: self.node_of_cell[cell],
                        area,
                        centroid,
                    }
                };
                if at[axis] == 0
                    && *role == Role::Solid
                    && let Edge::Zone(zone) = edges[2 * axis]
                {
                    faces.push(outer(false, zone));
                }
                if at[axis] + 1 == shape[axis] {
                    if *role == Role::Solid
                        && let Edge::Zone(zone) = edges[2 * axis + 1]
                    {
                        faces.push(outer(true, zone));
                    }
                    continue;
                }
                let mut next = at;
                next[axis] += 1;
                let other = grid.index(next[0], next[1], next[2]);
                let half_next = 0.5 * grid.width(axis, next[axis]);
                let r_next = half_next / medium.k[axis][next];
                match (*role, medium.role[next]) {
                    (Role::Solid, Role::Solid) => {
                        let g0 = area / (r + r_next);
                        let zones = [fill_of_cell[cell], fill_of_cell[other]];
                        self.links[axis][cell] = g0;
                        if zones != [NONE, NONE] {
                            let r1 = full_k(cell, axis).map_or(r, |k| half / k);
                            let r1_next = full_k(other, axis).map_or(r_next, |k| half_next / k);
                            let delta = area / (r1 + r1_next) - g0;
                            let ends = zones.iter().filter(|z| **z != NONE).count() as f64;
                            for z in zones.into_iter().filter(|z| *z != NONE) {
                                self.fills[z as usize].links.push((
                                    axis as u8,
                                    cell as u32,
                                    delta / ends,
                                ));
                            }
                        }
                    }
                    (Role::Solid, Role::Outside(zone)) => faces.push(outer(true, zone)),
                    (Role::Outside(zone), Role::Solid) => {
                        let mut centroid = grid.cell_centre(next[0], next[1], next[2]);
                        centroid[axis] -= half_next;
                        faces.push(OuterFace {
                            zone,
                            side: Side::of(axis, false),
                            r_inner: r_next,
                            cell: other,
                            node: self.node_of_cell[other],
                            area,
                            centroid,
                        });
                    }
                    (Role::Solid, Role::Air(a)) => {
                        // The surface lies below the node along z.
                        self.touch(
                            a,
                            axis,
                            false,
                            cell,
                            area,
                            r,
                            half,
                            full_k(cell, axis),
                            fill_of_cell[cell],
                        );
                    }
                    (Role::Air(a), Role::Solid) => {
                        let full = full_k(other, axis);
                        self.touch(
                            a,
                            axis,
                            true,
                            other,
                            area,
                            r_next,
                            half_next,
                            full,
                            fill_of_cell[other],
                        );
                    }
                    (Role::Air(_) | Role::Outside(_), Role::Air(_) | Role::Outside(_)) => {}
                }
            }
        }
    }

    /// Links air node `a` to the surface of a solid cell; `above`: the solid lies on the plus side of the air.
    #[expect(
        clippy::too_many_arguments,
        reason = "one face, all of it local to the assembly loop"
    )]
    fn touch(
        &mut self,
        a: u16,
        axis: usize,
        above: bool,
        cell: usize,
        area: f64,
        r: f64,
        half: f64,
        full_k: Option<f64>,
        fill: u32,
    ) {
        let a = usize::from(a);
        let node = &self.air[a];
        let own = (a, node.film(axis, above));
        let radiant = node.radiant.map(usize::from);
        let seen = radiant.map(|r| (r, self.air[r].film(axis, above)));
        let films = own.1 + seen.map_or(0.0, |s| s.1);
        let whole = area / (r + 1.0 / films);
        let full = full_k.map(|k| area / (half / k + 1.0 / films));
        for (to, film) in std::iter::once(own).chain(seen) {
            let share = film / films;
            if let (Some(full), Some(zone)) = (full, self.fills.get_mut(fill as usize)) {
                let delta = share * (full - whole);
                zone.air
                    .push((to as u32, self.air_links[to].len() as u32, delta));
            }
            self.air_links[to].push(AirLink {
                node: self.node_of_cell[cell],
                conductance: share * whole,
            });
        }
        if let Some((to, film)) = seen {
            // The surface itself is no unknown: what its two films hand on past the wood (star to triangle).
            self.past_surfaces[a].0 = to as u32;
            self.past_surfaces[a].1 += whole * r * own.1 * film / films;
        }
    }

    /// Heat capacities of cells, air and fill.
    fn store(&mut self, medium: &Medium, fills: &[FillZone]) {
        for (cell, (at, role)) in medium.role.indexed_iter().enumerate() {
            let volume = self.grid.volume(at.0, at.1, at.2);
            match *role {
                Role::Solid => {
                    self.capacity[self.node_of_cell[cell] as usize] = volume * medium.rho_c[at]
                }
                Role::Air(a) => self.air_volume[usize::from(a)] += volume,
                Role::Outside(_) => {}
            }
        }
        let first = self.cell_of_node.len();
        for (i, node) in self.air.iter().enumerate() {
            self.capacity[first + i] = node.capacity + self.air_volume[i] * AIR_HEAT_CAPACITY;
        }
        for (zone, delta) in fills.iter().zip(&mut self.fills) {
            for &cell in &zone.cells {
                let [i, j, k] = self.grid.ijk(cell);
                let change =
                    self.grid.volume(i, j, k) * (zone.full.rho_c - medium.rho_c[[i, j, k]]);
                delta.capacity.push((self.node_of_cell[cell], change));
            }
        }
    }

    fn add_extra(&mut self, links: &[ExtraLink]) -> Result<(), HeatError> {
        for (index, link) in links.iter().enumerate() {
            let bad = |what| HeatError::BadLink { index, what };
            let find = |r: NodeRef| match r {
                NodeRef::Cell(c) => self
                    .cell_node(c)
                    .ok_or(bad("names a cell that is not solid")),
                NodeRef::Air(a) if usize::from(a) < self.air.len() => {
                    Ok(self.air_node(usize::from(a)))
                }
                NodeRef::Air(_) => Err(bad("names an air node that was not given")),
            };
            let (a, b) = (find(link.a)?, find(link.b)?);
            if a == b {
                return Err(bad("joins a node to itself"));
            }
            if !(link.conductance >= 0.0 && link.conductance.is_finite()) {
                return Err(bad("has a conductance that is negative or not finite"));
            }
            self.extra.push((a as u32, b as u32, link.conductance));
        }
        Ok(())
    }

    /// Finds the connected parts of the body.
    fn find_parts(&mut self) {
        fn root(of: &mut [u32], mut i: u32) -> u32 {
            while of[i as usize] != i {
                of[i as usize] = of[of[i as usize] as usize];
                i = of[i as usize];
            }
            i
        }
        let mut of: Vec<u32> = (0..self.n() as u32).collect();
        self.each_link(|a, b, g| {
            if g > 0.0 {
                let (a, b) = (root(&mut of, a as u32), root(&mut of, b as u32));
                of[a.max(b) as usize] = a.min(b);
            }
        });
        let mut label = vec![NONE; of.len()];
        let mut part = Vec::with_capacity(of.len());
        for i in 0..of.len() as u32 {
            let r = root(&mut of, i) as usize;
            if label[r] == NONE {
                label[r] = self.parts as u32;
                self.parts += 1;
            }
            part.push(label[r]);
        }
        self.part = part;
    }
}
