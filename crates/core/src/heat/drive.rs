//! What acts on a network during one step.

use super::error::HeatError;
use super::network::Network;
use super::simd_layout::LANES;

/// What lies outside one face group.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Film {
    /// Outer surface coefficient, W/m2K; infinite = the surface itself is held at `t`; 0 = adiabatic.
    pub h: f64,
    /// Equivalent outside temperature (sol-air), degC.
    pub t: f64,
}

/// A direct exchange of one node with outside air, as by ventilation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exchange {
    /// Node number.
    pub node: usize,
    /// Conductance, W/K.
    pub conductance: f64,
    /// Outside temperature, degC.
    pub t: f64,
}

/// Everything that drives the network, constant within a step.
#[derive(Debug, Clone, PartialEq)]
pub struct Drive {
    /// One film per face group of the network.
    pub faces: Vec<Film>,
    /// Exchanges with outside air; a node may appear more than once.
    pub exchange: Vec<Exchange>,
    /// Fill of each fill zone, 0 to 1.
    pub fill: Vec<f64>,
    /// Heat released in each unknown, W.
    pub power: Vec<f64>,
}

impl Drive {
    /// A drive with the same film on every face group, no exchange, empty fill zones, no power.
    #[must_use]
    pub fn uniform(network: &Network, film: Film) -> Self {
        Self {
            faces: vec![film; network.faces().len()],
            exchange: Vec::new(),
            fill: vec![0.0; network.fill_zones()],
            power: vec![0.0; network.n()],
        }
    }

    /// A drive whose film on each group is looked up by the group's outside zone; zones beyond the list are adiabatic.
    #[must_use]
    pub fn by_zone(network: &Network, zones: &[Film]) -> Self {
        let mut drive = Self::uniform(network, Film { h: 0.0, t: 0.0 });
        for (film, group) in drive.faces.iter_mut().zip(network.faces()) {
            if let Some(f) = zones.get(usize::from(group.zone)) {
                *film = *f;
            }
        }
        drive
    }

    /// Refuses wrong lengths, values that are not finite, and negative conductances.
    pub(super) fn check(&self, network: &Network) -> Result<(), HeatError> {
        for (what, got, expected) in [
            ("faces", self.faces.len(), network.faces().len()),
            ("fill", self.fill.len(), network.fill_zones()),
            ("power", self.power.len(), network.n()),
        ] {
            if got != expected {
                return Err(HeatError::DriveLength {
                    what,
                    got,
                    expected,
                });
            }
        }
        for (index, f) in self.faces.iter().enumerate() {
            if f.h.is_nan() || f.h < 0.0 {
                return Err(HeatError::DriveValue {
                    what: "film coefficient (W/m2K)",
                    index,
                    value: f.h,
                });
            }
            if !f.t.is_finite() {
                return Err(HeatError::DriveValue {
                    what: "outside temperature (degC)",
                    index,
                    value: f.t,
                });
            }
        }
        for (index, e) in self.exchange.iter().enumerate() {
            if e.node >= network.n() {
                return Err(HeatError::DriveLength {
                    what: "exchange node",
                    got: e.node,
                    expected: network.n(),
                });
            }
            if !(e.conductance >= 0.0 && e.conductance.is_finite()) {
                return Err(HeatError::DriveValue {
                    what: "exchange conductance (W/K)",
                    index,
                    value: e.conductance,
                });
            }
            if !e.t.is_finite() {
                return Err(HeatError::DriveValue {
                    what: "exchange temperature (degC)",
                    index,
                    value: e.t,
                });
            }
        }
        for (index, f) in self.fill.iter().enumerate() {
            if !(0.0..=1.0).contains(f) {
                return Err(HeatError::DriveValue {
                    what: "fill",
                    index,
                    value: *f,
                });
            }
        }
        check_finite("power (W)", &self.power)
    }
}

/// Refuses a list with a value that is not finite.
pub(super) fn check_finite(what: &'static str, values: &[f64]) -> Result<(), HeatError> {
    // A finite value times zero is zero: no branch in the sweep.
    let (chunks, rest) = values.as_chunks::<LANES>();
    let mut sums = [0.0; LANES];
    for c in chunks {
        for l in 0..LANES {
            sums[l] += c[l] * 0.0;
        }
    }
    if sums.iter().chain(rest).all(|v| v.is_finite()) {
        return Ok(());
    }
    match values.iter().position(|v| !v.is_finite()) {
        Some(index) => Err(HeatError::DriveValue {
            what,
            index,
            value: values[index],
        }),
        None => Ok(()),
    }
}
