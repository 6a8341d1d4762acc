//! Random bodies: mixed solids, air spaces, outside cells, fill zones, extra links, all kinds of drives.

use partywall_core::heat::{
    AirNode, Drive, Edge, Exchange, ExtraLink, FillZone, Film, Grid, Medium, Network, NodeRef,
    Role, Solid,
};

/// A small deterministic generator (splitmix64).
pub struct Dice(u64);

impl Dice {
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn between(&mut self, lo: f64, hi: f64) -> f64 {
        lo + (hi - lo) * self.unit()
    }

    pub fn below(&mut self, n: usize) -> usize {
        ((self.unit() * n as f64) as usize).min(n - 1)
    }
}

pub struct Body {
    pub network: Network,
    dice: Dice,
}

impl Body {
    pub fn new(seed: u64) -> Self {
        let mut dice = Dice(seed);
        let mut axis = |least: usize, most: usize| {
            let mut at = 0.0;
            let n = least + dice.below(most - least);
            let mut planes = vec![0.0];
            for _ in 0..n {
                at += dice.between(0.002, 0.03);
                planes.push(at);
            }
            planes
        };
        let grid = Grid::new(axis(3, 26), axis(2, 9), axis(2, 15)).unwrap();
        let mut medium = Medium::uniform(
            &grid,
            Solid {
                k: [0.1; 3],
                rho_c: 1e5,
            },
        );
        for cell in 0..grid.cells() {
            let at = grid.ijk(cell);
            for k in &mut medium.k {
                k[at] = 10_f64.powf(dice.between(-1.5, 1.5));
            }
            medium.rho_c[at] = 10_f64.powf(dice.between(3.0, 6.5));
            medium.role[at] = match dice.below(20) {
                0 => Role::Air(0),
                1 => Role::Air(1),
                2 => Role::Outside(1),
                _ => Role::Solid,
            };
        }
        // One cell in the middle that is surely solid.
        let [nx, ny, nz] = grid.shape();
        medium.role[[nx / 2, ny / 2, nz / 2]] = Role::Solid;
        let air: Vec<AirNode> = ["lower", "upper"]
            .map(|name| AirNode {
                name: name.into(),
                capacity: dice.between(0.0, 50.0),
                film_up: 10.0,
                film_side: 7.7,
                film_down: 5.9,
                radiant: None,
            })
            .to_vec();
        let solid: Vec<usize> = (0..grid.cells())
            .filter(|c| medium.role[grid.ijk(*c)] == Role::Solid)
            .collect();
        let fills: Vec<FillZone> = (0..2)
            .map(|z| FillZone {
                name: format!("zone {z}"),
                cells: solid.iter().copied().filter(|c| c % 5 == z).collect(),
                full: Solid {
                    k: [0.3; 3],
                    rho_c: 3e6,
                },
            })
            .collect();
        let mut links = vec![ExtraLink {
            a: NodeRef::Air(0),
            b: NodeRef::Air(1),
            conductance: 3.0,
        }];
        for _ in 0..3 {
            let (a, b) = (
                solid[dice.below(solid.len())],
                solid[dice.below(solid.len())],
            );
            if a != b {
                links.push(ExtraLink {
                    a: NodeRef::Cell(a),
                    b: NodeRef::Cell(b),
                    conductance: 0.05,
                });
            }
            links.push(ExtraLink {
                a: NodeRef::Cell(a),
                b: NodeRef::Air(1),
                conductance: 0.02,
            });
        }
        let edges = [
            Edge::Zone(0),
            Edge::Zone(0),
            Edge::Adiabatic,
            Edge::Zone(1),
            Edge::Zone(0),
            Edge::Zone(1),
        ];
        let network = Network::build(&grid, &medium, &air, 2, &fills, &links, edges).unwrap();
        Self { network, dice }
    }

    /// Films, exchanges and fills at random; powers too if asked.
    pub fn drive(&mut self, power: bool) -> Drive {
        let n = self.network.n();
        let dice = &mut self.dice;
        let mut drive = Drive::uniform(&self.network, Film { h: 10.0, t: 0.0 });
        for f in &mut drive.faces {
            let h = if dice.below(12) == 0 {
                f64::INFINITY
            } else {
                dice.between(2.0, 30.0)
            };
            *f = Film {
                h,
                t: dice.between(-20.0, 10.0),
            };
        }
        for i in 0..2 {
            let (node, conductance) = (self.network.air_node(i), dice.between(0.05, 1.0));
            drive.exchange.push(Exchange {
                node,
                conductance,
                t: dice.between(-20.0, 10.0),
            });
        }
        // Cells cut off from everything still need a way out.
        for node in 0..n {
            drive.exchange.push(Exchange {
                node,
                conductance: 1e-4,
                t: -5.0,
            });
        }
        drive.fill = vec![dice.unit(), dice.unit()];
        if power {
            for _ in 0..5 {
                drive.power[dice.below(n)] += dice.between(0.0, 3.0);
            }
        }
        drive
    }

    pub fn state(&mut self) -> Vec<f64> {
        (0..self.network.n())
            .map(|_| self.dice.between(-10.0, 20.0))
            .collect()
    }

    pub fn pick(&mut self, n: usize) -> usize {
        self.dice.below(n)
    }
}
