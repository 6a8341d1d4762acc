//! What the cells are made of, and the air spaces among them.

use ndarray::Array3;

use super::error::HeatError;
use super::grid::Grid;

/// Volumetric heat capacity of air, J/m3K: 1.2 kg/m3 (20 degC, from memory) times 1006 J/kgK.
pub const AIR_HEAT_CAPACITY: f64 = 1.2 * 1006.0;

/// What a cell is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Conducts and stores heat: one unknown.
    Solid,
    /// Part of the lumped air node with this index.
    Air(u16),
    /// Outside the body, in the outside zone with this index.
    Outside(u16),
}

/// Conductivity and heat capacity of a homogenised solid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solid {
    /// Conductivity along x, y, z, W/mK.
    pub k: [f64; 3],
    /// Volumetric heat capacity, J/m3K.
    pub rho_c: f64,
}

/// The fields over all cells of a grid.
#[derive(Debug, Clone)]
pub struct Medium {
    /// What each cell is.
    pub role: Array3<Role>,
    /// Conductivity along x, y, z, W/mK; read in solid cells only.
    pub k: [Array3<f64>; 3],
    /// Volumetric heat capacity, J/m3K; read in solid cells only.
    pub rho_c: Array3<f64>,
}

impl Medium {
    /// A body of one solid that fills the whole grid.
    #[must_use]
    pub fn uniform(grid: &Grid, solid: Solid) -> Self {
        let s = grid.shape();
        Self {
            role: Array3::from_elem(s, Role::Solid),
            k: solid.k.map(|k| Array3::from_elem(s, k)),
            rho_c: Array3::from_elem(s, solid.rho_c),
        }
    }

    /// Makes every cell whose centre lies within the box (m) of this solid.
    pub fn fill_box(&mut self, grid: &Grid, x: [f64; 2], y: [f64; 2], z: [f64; 2], solid: Solid) {
        self.each_in_box(grid, x, y, z, |m, at| {
            m.role[at] = Role::Solid;
            for (field, k) in m.k.iter_mut().zip(solid.k) {
                field[at] = k;
            }
            m.rho_c[at] = solid.rho_c;
        });
    }

    /// Gives every cell whose centre lies within the box (m) this role.
    pub fn role_box(&mut self, grid: &Grid, x: [f64; 2], y: [f64; 2], z: [f64; 2], role: Role) {
        self.each_in_box(grid, x, y, z, |m, at| m.role[at] = role);
    }

    fn each_in_box(
        &mut self,
        grid: &Grid,
        x: [f64; 2],
        y: [f64; 2],
        z: [f64; 2],
        mut set: impl FnMut(&mut Self, [usize; 3]),
    ) {
        let [nx, ny, nz] = grid.shape();
        let inside = |v: f64, r: [f64; 2]| v > r[0] && v < r[1];
        for i in 0..nx {
            for j in 0..ny {
                for k in 0..nz {
                    let c = grid.cell_centre(i, j, k);
                    if inside(c[0], x) && inside(c[1], y) && inside(c[2], z) {
                        set(self, [i, j, k]);
                    }
                }
            }
        }
    }

    /// Checks shapes and values against a grid.
    pub(super) fn check(&self, grid: &Grid) -> Result<(), HeatError> {
        let expected = grid.shape();
        let shapes = [
            ("role", self.role.dim()),
            ("k along x", self.k[0].dim()),
            ("k along y", self.k[1].dim()),
            ("k along z", self.k[2].dim()),
            ("rho_c", self.rho_c.dim()),
        ];
        for (field, (a, b, c)) in shapes {
            if [a, b, c] != expected {
                return Err(HeatError::Shape {
                    field,
                    got: [a, b, c],
                    expected,
                });
            }
        }
        for (cell, (at, role)) in self.role.indexed_iter().enumerate() {
            if *role == Role::Solid {
                check_solid(
                    cell,
                    [self.k[0][at], self.k[1][at], self.k[2][at]],
                    self.rho_c[at],
                )?;
            }
        }
        Ok(())
    }
}

/// Refuses conductivities and capacities no body can have.
pub(super) fn check_solid(cell: usize, k: [f64; 3], rho_c: f64) -> Result<(), HeatError> {
    for (value, what) in
        k.into_iter()
            .zip(["k along x (W/mK)", "k along y (W/mK)", "k along z (W/mK)"])
    {
        if !(value > 0.0 && value.is_finite()) {
            return Err(HeatError::Material { cell, what, value });
        }
    }
    if !(rho_c >= 0.0 && rho_c.is_finite()) {
        return Err(HeatError::Material {
            cell,
            what: "rho c (J/m3K)",
            value: rho_c,
        });
    }
    Ok(())
}

/// A lumped air space: one temperature, films to every solid surface it touches.
///
/// Where `radiant` names another, radiation is parted from convection: that other one has no cells and no capacity, its temperature is the
/// mean radiant temperature of the space (a star network), and its films are those of radiation to the same surfaces.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AirNode {
    /// Name for messages and results.
    pub name: String,
    /// Heat capacity beyond that of the air itself, J/K.
    pub capacity: f64,
    /// Coefficient at a surface above the node (heat flows up), W/m2K: convective and radiative, or convective alone with a `radiant` node;
    /// in whole 1/0.10 by ISO 6946 surface resistances.
    pub film_up: f64,
    /// The same at a vertical surface, W/m2K; 1/0.13.
    pub film_side: f64,
    /// The same at a surface below the node (heat flows down), W/m2K; 1/0.17.
    pub film_down: f64,
    /// Index of the node of radiation between the surfaces of this space.
    pub radiant: Option<u16>,
}

impl AirNode {
    /// Its film towards a surface across `axis` (0 to 2); `above`: the solid lies on the plus side of the air.
    #[must_use]
    pub fn film(&self, axis: usize, above: bool) -> f64 {
        match (axis, above) {
            (2, true) => self.film_up,
            (2, false) => self.film_down,
            _ => self.film_side,
        }
    }
}

/// Cells whose state lies between their base medium (fill 0) and `full` (fill 1); conductances and capacities go
/// linearly between the two.
#[derive(Debug, Clone, PartialEq)]
pub struct FillZone {
    /// Name for messages.
    pub name: String,
    /// Cell numbers (C order); each solid, and in no other zone.
    pub cells: Vec<usize>,
    /// Properties at fill 1.
    pub full: Solid,
}

pub(super) fn check_zone(zone: u16, zones: usize) -> Result<(), HeatError> {
    if usize::from(zone) < zones {
        Ok(())
    } else {
        Err(HeatError::UnknownZone { zone, zones })
    }
}

pub(super) fn check_air(air: &[AirNode]) -> Result<(), HeatError> {
    for node in air {
        let bad = |what, value| HeatError::AirNodeValue {
            name: node.name.clone(),
            what,
            value,
        };
        if !(node.capacity >= 0.0 && node.capacity.is_finite()) {
            return Err(bad("capacity (J/K)", node.capacity));
        }
        for (what, film) in [
            ("film up (W/m2K)", node.film_up),
            ("film side (W/m2K)", node.film_side),
            ("film down (W/m2K)", node.film_down),
        ] {
            if !(film > 0.0 && film.is_finite()) {
                return Err(bad(what, film));
            }
        }
        if let Some(r) = node.radiant
            && air.get(usize::from(r)).is_none_or(|r| r.radiant.is_some())
        {
            return Err(bad("index of its radiant node", f64::from(r)));
        }
    }
    Ok(())
}
