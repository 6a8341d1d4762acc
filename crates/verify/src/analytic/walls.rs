//! Walls in one dimension: half spaces, boards, layers, sources, the daily swing.

use partywall_core::heat::{Edge, Film, HeatError, Solid, steady};

use super::super::Check;
use super::wall::Wall;
use super::{HELD, ISO_13786, PINE, SOLVER, advance, check};

/// Semi-infinite pine, 20 degC, surface held at -10: `T = Ti + (Ts - Ti) erfc(x / 2 sqrt(a t))`.
pub(super) fn half_space() -> Result<Vec<Check>, HeatError> {
    let wall = Wall::new(&[(0.6, PINE)], 0.0025, [Edge::Zone(0), Edge::Adiabatic])?;
    let film = Film { h: HELD, t: -10.0 };
    let drive = wall.drive([film, film]);
    let mut t = vec![20.0; wall.network.n()];
    let mut stepper = wall.stepper(60.0)?;
    advance(&mut stepper, &mut t, &drive, 0.0, 3600.0)?;
    let mut checks = vec![
        check(
            "half-space-20mm-1h",
            "held surface, 20 mm deep, 1 h",
            (3.08891, wall.at(&t, 0.02), 0.05),
            "degC",
        ),
        check(
            "half-space-50mm-1h",
            "held surface, 50 mm deep, 1 h",
            (15.53256, wall.at(&t, 0.05), 0.05),
            "degC",
        ),
        check(
            "half-space-flux-1h",
            "surface flux after 1 h",
            (82.9186, wall.flow(&t, 0, film), 0.4),
            "W/m2",
        ),
        check(
            "half-space-heat-1h",
            "heat drawn in 1 h",
            (597.014e3, stepper.stats().balance.lost, 3e3),
            "J/m2",
        ),
    ];
    advance(&mut stepper, &mut t, &drive, 3600.0, 6.0 * 3600.0)?;
    let got = wall.at(&t, 0.05);
    checks.push(check(
        "half-space-50mm-6h",
        "held surface, 50 mm deep, 6 h",
        (3.32931, got, 0.05),
        "degC",
    ));
    Ok(checks)
}

/// The same behind a film of 12 W/m2K: `theta = erfc e - exp(hx/k + h2 a t/k2) erfc(e + h sqrt(a t)/k)`.
pub(super) fn half_space_film() -> Result<Vec<Check>, HeatError> {
    let wall = Wall::new(&[(0.6, PINE)], 0.0025, [Edge::Zone(0), Edge::Adiabatic])?;
    let film = Film { h: 12.0, t: -10.0 };
    let drive = wall.drive([film, film]);
    let mut t = vec![20.0; wall.network.n()];
    let mut stepper = wall.stepper(60.0)?;
    advance(&mut stepper, &mut t, &drive, 0.0, 3600.0)?;
    let surface = wall.surface(&t, 0, film);
    let mut checks = vec![
        check(
            "film-surface-1h",
            "behind a film, surface, 1 h",
            (-3.56121, surface, 0.05),
            "degC",
        ),
        check(
            "film-20mm-1h",
            "behind a film, 20 mm deep, 1 h",
            (7.83948, wall.at(&t, 0.02), 0.05),
            "degC",
        ),
    ];
    advance(&mut stepper, &mut t, &drive, 3600.0, 6.0 * 3600.0)?;
    let got = wall.at(&t, 0.05);
    checks.push(check(
        "film-50mm-6h",
        "behind a film, 50 mm deep, 6 h",
        (5.52068, got, 0.05),
        "degC",
    ));
    Ok(checks)
}

/// 40 mm pine board, film 6 on both faces (Bi = 1), 20 -> air -10: `sum C_n exp(-zeta_n^2 Fo) cos(zeta_n x/L)`.
pub(super) fn board() -> Result<Vec<Check>, HeatError> {
    let wall = Wall::new(&[(0.04, PINE)], 0.00125, [Edge::Zone(0), Edge::Zone(1)])?;
    let film = Film { h: 6.0, t: -10.0 };
    let drive = wall.drive([film, film]);
    let mut t = vec![20.0; wall.network.n()];
    let mut stepper = wall.stepper(60.0)?;
    let mut checks = Vec::new();
    let mut from = 0.0;
    for (ids, to, centre, surface) in [
        (
            ["board-centre-600s", "board-surface-600s"],
            600.0,
            17.66020,
            8.42986,
        ),
        (
            ["board-centre-1800s", "board-surface-1800s"],
            1800.0,
            9.27068,
            2.56915,
        ),
        (
            ["board-centre-7200s", "board-surface-7200s"],
            7200.0,
            -6.35546,
            -7.62309,
        ),
    ] {
        advance(&mut stepper, &mut t, &drive, from, to)?;
        from = to;
        let what = format!("40 mm board after {to} s, centre");
        checks.push(check(
            ids[0],
            &what,
            (centre, wall.at(&t, 0.02), 0.03),
            "degC",
        ));
        let what = format!("40 mm board after {to} s, surface");
        checks.push(check(
            ids[1],
            &what,
            (surface, wall.surface(&t, 0, film), 0.03),
            "degC",
        ));
    }
    Ok(checks)
}

/// 22 mm pine and 40 mm foam between films, 10 and -10 degC.
pub(super) fn layered_wall() -> Result<Vec<Check>, HeatError> {
    let foam = Solid {
        k: [0.034; 3],
        rho_c: 30.0 * 1450.0,
    };
    let wall = Wall::new(
        &[(0.022, PINE), (0.04, foam)],
        0.002,
        [Edge::Zone(0), Edge::Zone(1)],
    )?;
    let (warm, cold) = (
        Film {
            h: 1.0 / 0.13,
            t: 10.0,
        },
        Film {
            h: 1.0 / 0.04,
            t: -10.0,
        },
    );
    let t = steady(&wall.network, &wall.drive([warm, cold]), SOLVER)?.t;
    let q = wall.flow(&t, 1, cold);
    // Interface: from the last pine cell outwards at the same flux.
    let i = wall.grid.x.iter().filter(|x| **x < 0.022 - 1e-9).count() - 1;
    let interface = t[i] - q * 0.5 * wall.grid.width(0, i) / PINE.k[0];
    Ok(vec![
        check(
            "layered-u",
            "U of pine and foam",
            (0.653679, q / 20.0, 1e-5),
            "W/m2K",
        ),
        check(
            "layered-inner",
            "inner surface of pine and foam",
            (8.30044, wall.surface(&t, 0, warm), 1e-5),
            "degC",
        ),
        check(
            "layered-interface",
            "between pine and foam",
            (5.90361, interface, 1e-5),
            "degC",
        ),
    ])
}

/// Slab 0.10 m, k 0.35, 1000 W/m3, film 8, air -5.
pub(super) fn heated_slab() -> Result<Vec<Check>, HeatError> {
    let solid = Solid {
        k: [0.35; 3],
        rho_c: 1e6,
    };
    let wall = Wall::new(&[(0.10, solid)], 0.0005, [Edge::Zone(0), Edge::Zone(1)])?;
    let film = Film { h: 8.0, t: -5.0 };
    let mut drive = wall.drive([film, film]);
    for (i, p) in drive.power.iter_mut().enumerate() {
        *p = 1000.0 * wall.grid.width(0, i);
    }
    let t = steady(&wall.network, &drive, SOLVER)?.t;
    Ok(vec![
        check(
            "heated-slab-surface",
            "slab with source, surface",
            (1.25, wall.surface(&t, 0, film), 1e-3),
            "degC",
        ),
        check(
            "heated-slab-centre",
            "slab with source, centre",
            (4.82143, wall.at(&t, 0.05), 1e-3),
            "degC",
        ),
    ])
}

/// Periodic transmittance over 24 h: modulus (W/m2K) and time shift (h), films 0.13 and 0.04 m2K/W.
pub(super) fn periodic() -> Result<Vec<Check>, HeatError> {
    let foam = Solid {
        k: [0.034; 3],
        rho_c: 30.0 * 1450.0,
    };
    let concrete = Solid {
        k: [1.8; 3],
        rho_c: 2400.0 * 1000.0,
    };
    let mut checks = Vec::new();
    for (ids, name, layers, modulus, shift) in [
        (
            ["periodic-pine22-y", "periodic-pine22-shift"],
            "22 mm pine",
            vec![(0.022, PINE)],
            2.824499,
            -0.32826,
        ),
        (
            ["periodic-pine-foam-y", "periodic-pine-foam-shift"],
            "22 mm pine and 40 mm foam",
            vec![(0.022, PINE), (0.04, foam)],
            0.641302,
            -0.95912,
        ),
        (
            ["periodic-pine100-y", "periodic-pine100-shift"],
            "100 mm pine",
            vec![(0.1, PINE)],
            0.829983,
            -3.55640,
        ),
        (
            ["periodic-concrete-y", "periodic-concrete-shift"],
            "200 mm concrete",
            vec![(0.2, concrete)],
            1.827071,
            -5.67569,
        ),
    ] {
        let [y, hours] = periodic_transmittance(&layers)?;
        let mut pair = [
            check(
                ids[0],
                &format!("periodic transmittance of {name}"),
                (modulus, y, 1e-3),
                "W/m2K",
            ),
            check(
                ids[1],
                &format!("time shift of {name}"),
                (shift, hours, 5e-3),
                "h",
            ),
        ];
        for c in &mut pair {
            c.source = ISO_13786;
        }
        checks.extend(pair);
    }
    Ok(checks)
}

/// Swings the outside by 1 K over 24 h and takes the first harmonic of the inner flux over the last of ten days.
fn periodic_transmittance(layers: &[(f64, Solid)]) -> Result<[f64; 2], HeatError> {
    const DAY: f64 = 86_400.0;
    const STEPS: usize = 288;
    let wall = Wall::new(layers, 0.001, [Edge::Zone(0), Edge::Zone(1)])?;
    let dt = DAY / STEPS as f64;
    let mut stepper = wall.stepper(dt)?;
    let mut t = vec![0.0; wall.network.n()];
    let inner = Film {
        h: 1.0 / 0.13,
        t: 0.0,
    };
    let omega = 2.0 * std::f64::consts::PI / DAY;
    let (mut cosine, mut sine) = (0.0, 0.0);
    for day in 0..10 {
        for i in 0..STEPS {
            let (middle, end) = ((i as f64 + 0.5) * dt, (i as f64 + 1.0) * dt);
            let outer = Film {
                h: 1.0 / 0.04,
                t: (omega * middle).cos(),
            };
            stepper.step(&mut t, &wall.drive([inner, outer]))?;
            if day == 9 {
                let q = wall.flow(&t, 0, inner);
                cosine += q * (omega * end).cos() * 2.0 / STEPS as f64;
                sine += q * (omega * end).sin() * 2.0 / STEPS as f64;
            }
        }
    }
    Ok([cosine.hypot(sine), -sine.atan2(cosine) / omega / 3600.0])
}
