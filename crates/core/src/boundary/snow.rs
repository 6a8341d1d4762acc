//! Snow heaped against the boxes and on lids: no wind and no sun, a layer of snow instead.

/// Effective conductivity of snow, W/mK, from its density in kg/m3.
///
/// Sturm et al. 1997 (from memory): `0.138 - 1.01 r + 3.233 r2` for r = 0.156 to 0.6 g/cm3, `0.023 + 0.234 r` below.
/// Density is held to 50 to 600 kg/m3.
///
/// ```
/// use partywall_core::boundary::snow::conductivity;
/// // Settled winter snow of 250 kg/m3: 0.088 W/mK, between the standard tables' 0.12 (200) and fresh snow's 0.05 (100).
/// assert!((conductivity(250.0) - 0.0876).abs() < 1e-3);
/// ```
#[must_use]
pub fn conductivity(density: f64) -> f64 {
    let r = density.clamp(50.0, 600.0) / 1000.0;
    if r < 0.156 {
        0.023 + 0.234 * r
    } else {
        0.138 + r * (-1.01 + 3.233 * r)
    }
}

/// Outside coefficient of a face buried under `cover` m of snow, W/m2K: `1/(cover/k + 1/h)`, h total coefficient of the
/// snow's own surface. One-dimensional, without the snow's heat capacity, melting or the ground's warmth (all of which
/// would leave the face warmer).
#[must_use]
pub fn buried(cover: f64, snow_conductivity: f64, surface: f64) -> f64 {
    1.0 / (cover.max(0.0) / snow_conductivity.max(1e-3) + 1.0 / surface.max(1e-3))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a jump between the two density branches and a conductivity that falls with density.
    #[test]
    fn conductivity_rises_with_density() {
        let mut before = 0.0;
        for rho in (50..=600).step_by(5) {
            let k = conductivity(f64::from(rho));
            assert!(k >= before - 1e-3, "{rho}: {k} after {before}");
            before = k;
        }
        assert!((conductivity(155.9) - conductivity(156.1)).abs() < 1e-3);
    }

    /// Catches series and parallel mixed up.
    #[test]
    fn more_snow_less_loss() {
        assert!((buried(0.0, 0.09, 12.0) - 12.0).abs() < 1e-12);
        assert!((buried(0.09, 0.09, 10.0) - 1.0 / 1.1).abs() < 1e-12);
    }
}
