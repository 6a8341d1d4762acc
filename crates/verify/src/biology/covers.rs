//! C17: covered hives against bare ones.

use super::yard::{BARE, Yard, average, record, winters};
use super::{BiologyError, Kept, row};
use crate::{Evidence, Row, Used};
use partywall_core::colony::parameters::Parameters;
use partywall_core::materials::MaterialOverride;
use partywall_core::stand::{Layer, Scenario};

/// Bees of a full-size colony on 1 November.
const BEES: f64 = 15_000.0;
/// Thermal resistance of the foam lid: US, m2K/W.
const LID_RESISTANCE: f64 = 7.5 * 0.176_110;
/// Its thickness, m.
const LID: f64 = 0.038;
/// Thickness of the side cover, m.
const SIDE: f64 = 0.004;
const ST_CLAIR: &str = "St. Clair et al. 2022, PLoS ONE e0266219: 43 colonies, central Illinois 2020/21; the size of the \
    effect was not read";

/// Puts the covers on: sheet on all four sides, foam above the inner cover.
fn cover(s: &mut Scenario) {
    s.materials.push(MaterialOverride {
        key: "twin-wall-sheet".into(),
        // Twin-wall polypropylene of 4 mm: from memory.
        conductivity: 0.06,
        density: 200.0,
        specific_heat: 1800.0,
    });
    s.materials.push(MaterialOverride {
        key: "lid-foam".into(),
        conductivity: LID / LID_RESISTANCE,
        density: 30.0,
        specific_heat: 1450.0,
    });
    for stack in &mut s.stacks {
        let sheet = || {
            vec![Layer {
                material: "twin-wall-sheet".into(),
                thickness: SIDE,
            }]
        };
        stack.cladding.front = sheet();
        stack.cladding.back = sheet();
        stack.cladding.left = sheet();
        stack.cladding.right = sheet();
        stack.top.push(Layer {
            material: "lid-foam".into(),
            thickness: LID,
        });
    }
}

/// Less food in covered hives: only the sign is known.
pub(super) fn covers(kept: &Kept) -> Result<Vec<Row>, BiologyError> {
    let station = record("chicago")?;
    let elevation = station.station.elevation;
    let bare = Yard::new(BARE, elevation, |_| ())?;
    let holed = BARE.replace("walls =", "upper_hole = \"20 mm\"\nwalls =");
    let covered = Yard::new(&holed, elevation, cover)?;
    let winters = winters(&station, (11, 1), (3, 31))?;
    let eaten = |yard: &Yard, p: &Parameters| {
        let all = winters
            .iter()
            .map(|w| Ok(yard.winter(w, BEES, p, None)?.eaten))
            .collect::<Result<Vec<f64>, BiologyError>>()?;
        Ok::<f64, BiologyError>(average(&all))
    };
    let (with, without) = (
        eaten(&covered, &kept.default)?,
        eaten(&bare, &kept.default)?,
    );
    let [sign] = kept.measure(|p| Ok([(eaten(&covered, p)? - eaten(&bare, p)?).signum()]))?;
    Ok(vec![row(
        "c17-covers",
        format!(
            "sign of food used under 4 mm side covers, 38 mm foam lid (R-7.5) and a top hole (taken: 20 mm) less that of \
             bare hives ({with:.2} against {without:.2} kg); taken: Chicago, two winters, November to March, 15,000 bees in \
             two ten-frame deeps of 19 mm pine, sun taken up alike by both, coarse grid"
        ),
        (-1.0, 0.0, crate::SIGN),
        sign,
        ST_CLAIR,
        Evidence::Published,
        Used::No,
    )])
}
