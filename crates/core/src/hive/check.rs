//! Bounds on a scenario's numbers, so that no value becomes a plausible wrong hive.

use super::error::HiveError;
use crate::stand::{Floor, GapState, HiveBox, Joint, Layer, OpeningPlace, Scenario, Stack};

/// Most stacks on one stand.
const MOST_STACKS: usize = 4;
/// Most frames in one box.
const MOST_FRAMES: f64 = 40.0;

/// Checks counts and bounds of everything the hive room reads.
pub fn check(s: &Scenario) -> Result<(), HiveError> {
    if s.stacks.is_empty() || s.stacks.len() > MOST_STACKS {
        return Err(HiveError::StackCount {
            got: s.stacks.len(),
            most: MOST_STACKS,
        });
    }
    if s.joints.len() + 1 != s.stacks.len() {
        return Err(HiveError::JointCount {
            stacks: s.stacks.len(),
            joints: s.joints.len(),
        });
    }
    for stack in &s.stacks {
        check_stack(stack)?;
    }
    let name = s.stacks[0].name.as_str();
    within(
        name,
        "height of the stand (m)",
        s.site.stand_height,
        0.0,
        30.0,
    )?;
    within(
        name,
        "azimuth of the entrances (degrees)",
        s.site.entrance_azimuth_deg,
        -360.0,
        360.0,
    )?;
    for (j, joint) in s.joints.iter().enumerate() {
        check_joint(&s.stacks[j].name, j, joint)?;
    }
    Ok(())
}

fn within(stack: &str, what: &str, value: f64, low: f64, high: f64) -> Result<(), HiveError> {
    if (low..=high).contains(&value) {
        Ok(())
    } else {
        Err(HiveError::OutOfBounds {
            stack: stack.to_owned(),
            what: what.to_owned(),
            value,
            low,
            high,
        })
    }
}

fn layers(stack: &str, what: &str, layers: &[Layer]) -> Result<(), HiveError> {
    for l in layers {
        within(
            stack,
            &format!("{what} of {} (m)", l.material),
            l.thickness,
            1e-6,
            1.0,
        )?;
    }
    Ok(())
}

fn check_joint(stack: &str, j: usize, joint: &Joint) -> Result<(), HiveError> {
    let Joint::Adjoining {
        gap, state, wall, ..
    } = joint
    else {
        return Ok(());
    };
    within(stack, "gap to the next stack (m)", *gap, 0.0, 2.0)?;
    let said = |state| {
        Err(HiveError::GapContradiction {
            joint: j + 1,
            gap: *gap,
            state,
        })
    };
    match (state, wall) {
        (_, crate::stand::CentreWall::Shared(own)) => {
            layers(stack, "centre wall", own)?;
            if own.is_empty() {
                return said("a shared wall of no layer");
            }
            if *gap > 0.0 {
                return said("taken up by one shared wall");
            }
            Ok(())
        }
        (GapState::Touching, _) if *gap > 0.0 => said("touching"),
        _ => Ok(()),
    }
}

fn check_stack(s: &Stack) -> Result<(), HiveError> {
    let n = s.name.as_str();
    if s.boxes.is_empty() {
        return Err(HiveError::NoBox {
            stack: s.name.clone(),
        });
    }
    if s.top.is_empty() && s.cover.layers.is_empty() {
        return Err(HiveError::NoLid {
            stack: s.name.clone(),
        });
    }
    match &s.floor {
        Floor::Solid { layers: l, space } => {
            if l.is_empty() {
                return Err(HiveError::OutOfBounds {
                    stack: s.name.clone(),
                    what: "number of layers of a solid floor".to_owned(),
                    value: 0.0,
                    low: 1.0,
                    high: 99.0,
                });
            }
            layers(n, "floor layer", l)?;
            within(n, "space over the floor (m)", *space, 0.0, 0.5)?;
        }
        Floor::OpenMesh { space } => within(n, "space over the floor mesh (m)", *space, 0.0, 0.5)?,
    }
    layers(n, "top layer", &s.top)?;
    layers(n, "cover layer", &s.cover.layers)?;
    within(n, "overhang of the cover (m)", s.cover.overhang, 0.0, 0.5)?;
    within(n, "skirt of the cover (m)", s.cover.skirt, 0.0, 1.0)?;
    within(n, "space under the cover (m)", s.cover.space, 0.0, 0.5)?;
    within(
        n,
        "solar absorptance of the cover",
        s.cover.absorptance,
        0.0,
        1.0,
    )?;
    within(n, "emissivity of the cover", s.cover.emissivity, 0.0, 1.0)?;
    for side in [
        &s.cladding.front,
        &s.cladding.back,
        &s.cladding.left,
        &s.cladding.right,
    ] {
        layers(n, "cladding", side)?;
    }
    within(
        n,
        "solar absorptance of the sides",
        s.cladding.absorptance,
        0.0,
        1.0,
    )?;
    within(
        n,
        "emissivity of the sides",
        s.cladding.emissivity,
        0.0,
        1.0,
    )?;
    if s.ledge.shelf {
        within(
            n,
            "thickness of the ledge shelf (m)",
            s.ledge.shelf_thickness,
            1e-3,
            0.2,
        )?;
    }
    if let Some(f) = &s.ledge.filler {
        layers(n, "ledge filler", std::slice::from_ref(f))?;
    }
    for (i, b) in s.boxes.iter().enumerate() {
        check_box(n, i, b)?;
    }
    for (i, o) in s.openings.iter().enumerate() {
        within(n, "area of an opening (m2)", o.area, 0.0, 0.5)?;
        within(n, "height of an opening (m)", o.height, 0.0, 1.0)?;
        within(
            n,
            "middle of an opening above the floor's underside (m)",
            o.z,
            0.0,
            5.0,
        )?;
        if let OpeningPlace::Box(b) = o.place
            && b >= s.boxes.len()
        {
            let what = format!("box {}, but there are {}", b + 1, s.boxes.len());
            return Err(HiveError::OpeningPlace {
                stack: s.name.clone(),
                opening: i + 1,
                what,
            });
        }
    }
    if let Some(h) = &s.heater {
        within(n, "power of the heater (W)", h.power, 0.0, 1000.0)?;
        let why = match s.boxes.get(h.in_box) {
            None => Some("does not exist"),
            Some(b) if b.frames > 0 => Some("has frames in it"),
            Some(b) if b.filler.is_some() => Some("is filled"),
            Some(_) => None,
        };
        if let Some(why) = why {
            return Err(HiveError::HeaterPlace {
                stack: s.name.clone(),
                number: h.in_box + 1,
                why,
            });
        }
    }
    Ok(())
}

fn check_box(n: &str, i: usize, b: &HiveBox) -> Result<(), HiveError> {
    let what = |w: &str| format!("{w} of box {}", i + 1);
    within(n, &what("length (m)"), b.length, 0.05, 3.0)?;
    within(n, &what("width (m)"), b.width, 0.05, 3.0)?;
    within(n, &what("depth (m)"), b.depth, 0.01, 2.0)?;
    if b.walls.is_empty() {
        return Err(HiveError::OutOfBounds {
            stack: n.to_owned(),
            what: what("number of wall layers"),
            value: 0.0,
            low: 1.0,
            high: 99.0,
        });
    }
    layers(n, "wall", &b.walls)?;
    within(
        n,
        &what("number of frames"),
        f64::from(b.frames),
        0.0,
        MOST_FRAMES,
    )?;
    if b.frames > 0 {
        within(n, &what("comb pitch (m)"), b.pitch, 0.02, 0.10)?;
        within(n, &what("comb length (m)"), b.comb_length, 0.02, 3.0)?;
        within(n, &what("comb height (m)"), b.comb_height, 0.02, 2.0)?;
        within(
            n,
            &what("comb thickness (m)"),
            b.comb_thickness,
            0.005,
            0.09,
        )?;
        within(
            n,
            &what("honey in a full frame (kg)"),
            b.full_frame,
            0.0,
            20.0,
        )?;
        within(
            n,
            &what("frames of honey"),
            b.honey_frames,
            0.0,
            f64::from(b.frames),
        )?;
        within(
            n,
            &what("number of follower boards"),
            f64::from(b.followers),
            0.0,
            2.0,
        )?;
        if b.followers > 0 {
            within(
                n,
                &what("thickness of a follower board (m)"),
                b.follower_thickness,
                0.001,
                0.2,
            )?;
        }
    }
    Ok(())
}
