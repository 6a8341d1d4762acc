//! The checked scenario: everything in SI (m, kg, s, W, degC), every default filled in.
//!
//! This is what the rest of the program reads. The text a keeper writes is turned into these types by
//! [`crate::scenario::parse`]; nothing here parses or prints.
//!
//! Axes: x runs across the combs, along the row of stacks (left to right seen from behind the entrance side, i.e.
//! stack 0 has the smallest x); y runs along the combs, y = 0 is the front (entrance side); z is up, z = 0 is the
//! underside of the floor.

use crate::colony::feeding::Feed;
use crate::colony::stores::HoneyPlacement;
mod apart;
pub mod plausible;
mod restock;

use crate::calendar::MonthDay;
use crate::climate::ClimateChoice;
use crate::climate::raw::PartialStation;
use crate::materials::MaterialOverride;
use serde::Serialize;

/// A whole hive stand and the winter it is to face.
#[derive(Debug, Clone, PartialEq)]
pub struct Scenario {
    /// Short title printed on every output.
    pub title: String,
    /// Where the stand is.
    pub site: Site,
    /// Dates that frame the winter.
    pub season: Season,
    /// Which climate record to use.
    pub climate: ClimateChoice,
    /// One to four stacks, left to right.
    pub stacks: Vec<Stack>,
    /// What is between stack i and stack i + 1; `stacks.len() - 1` entries.
    pub joints: Vec<Joint>,
    /// Materials added or overridden by the scenario.
    pub materials: Vec<MaterialOverride>,
    /// Colony parameters overridden by the scenario: (key, value in the parameter's own SI unit).
    pub parameters: Vec<(String, f64)>,
    /// The level asked for, as a share of winters: 0.9 means nine winters in ten.
    pub level: f64,
    /// Stores that must remain on the horizon date, kg of honey per colony.
    pub reserve: f64,
    /// What makes the winter worse than the record's.
    pub stress: Stress,
}

/// A winter made worse on purpose.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Stress {
    /// Every hour of the record colder by so much, K.
    pub colder: f64,
    /// Days by which first nectar is late: already counted in [`Season::first_nectar`].
    pub late_spring: u32,
}

/// Site of the stand.
#[derive(Debug, Clone, PartialEq)]
pub struct Site {
    /// Name of the place.
    pub name: String,
    /// Latitude, degrees, north positive; `None` takes the climate record's.
    pub latitude_deg: Option<f64>,
    /// Longitude, degrees, east positive; `None` takes the climate record's.
    pub longitude_deg: Option<f64>,
    /// Height above sea level, m; `None` takes the climate record's.
    pub elevation: Option<f64>,
    /// How sheltered from wind.
    pub shelter: Shelter,
    /// Compass direction the entrances face, degrees clockwise from north (south = 180).
    pub entrance_azimuth_deg: f64,
    /// Height of the floor's underside above ground, m.
    pub stand_height: f64,
    /// Whether snow usually lies around the stand in mid-winter (raises ground reflectance).
    pub snow_cover: bool,
}

impl Site {
    /// What the scenario knows of the place, for weather files that do not say where they were measured.
    #[must_use]
    pub fn station(&self) -> PartialStation {
        PartialStation {
            latitude_deg: self.latitude_deg,
            longitude_deg: self.longitude_deg,
            elevation: self.elevation,
            ..PartialStation::default()
        }
    }
}

/// Wind shelter in the three words a keeper uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shelter {
    /// Open field.
    Open,
    /// Hedge, fence or trees on the windward side.
    Partly,
    /// Courtyard, forest clearing, dense windbreak all round.
    Sheltered,
}

/// Dates that frame the winter.
#[derive(Debug, Clone, PartialEq)]
pub struct Season {
    /// Day the count of eaten honey starts (the weighing in autumn).
    pub start: MonthDay,
    /// First dependable nectar: the end of the season.
    pub first_nectar: MonthDay,
    /// First brood after winter.
    pub brood_start: MonthDay,
    /// Day from which brood is fully established.
    pub brood_full: MonthDay,
}

/// One stack of boxes on one floor, with at most one colony.
#[derive(Debug, Clone, PartialEq)]
pub struct Stack {
    /// Name, unique in the scenario.
    pub name: String,
    /// Floor.
    pub floor: Floor,
    /// Boxes, bottom to top; at least one.
    pub boxes: Vec<HiveBox>,
    /// Boards and foam above the frames, bottom to top (inner cover, quilt, foam); may be empty.
    pub top: Vec<Layer>,
    /// Outer cover.
    pub cover: Cover,
    /// Layers outside the box walls, from the wood outwards, per side.
    pub cladding: Cladding,
    /// Openings to the outside air.
    pub openings: Vec<Opening>,
    /// What is done about the ledge where boxes of unequal width meet.
    pub ledge: Ledge,
    /// Colony living here.
    pub colony: Option<Colony>,
    /// Electric heater of constant power in an empty box, W, with the index of the box it stands in.
    pub heater: Option<Heater>,
}

/// A flat layer of one material.
#[derive(Debug, Clone, PartialEq)]
pub struct Layer {
    /// Key into the material table.
    pub material: String,
    /// Thickness, m.
    pub thickness: f64,
}

/// Floor of a stack.
#[derive(Debug, Clone, PartialEq)]
pub enum Floor {
    /// Closed board of the given layer, with the free height under the frames, m.
    Solid {
        /// The board and whatever is under it, top to bottom.
        layers: Vec<Layer>,
        /// Free height between board and lowest box edge, m.
        space: f64,
    },
    /// Open mesh: the space under the frames is outside air behind a mesh.
    OpenMesh {
        /// Free height between mesh and lowest box edge, m.
        space: f64,
    },
}

/// Outer cover.
#[derive(Debug, Clone, PartialEq)]
pub struct Cover {
    /// Cover layers, bottom to top (board, metal sheet).
    pub layers: Vec<Layer>,
    /// How far the cover overhangs each side, m; 0 for a flush cover.
    pub overhang: f64,
    /// Length of the skirt that hangs down the outside of a telescoping cover, m.
    pub skirt: f64,
    /// Free air height between the top layers and the cover, m; 0 when it lies flat.
    pub space: f64,
    /// Solar absorptance of the upper surface, 0 to 1.
    pub absorptance: f64,
    /// Thermal emissivity of the upper surface, 0 to 1.
    pub emissivity: f64,
}

/// Outer cladding per side (wrap, foam), from the wood outwards.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cladding {
    /// Entrance side.
    pub front: Vec<Layer>,
    /// Side opposite the entrance.
    pub back: Vec<Layer>,
    /// Towards smaller x; ignored at a joint that is not apart.
    pub left: Vec<Layer>,
    /// Towards larger x; ignored at a joint that is not apart.
    pub right: Vec<Layer>,
    /// Solar absorptance of the outside, 0 to 1.
    pub absorptance: f64,
    /// Thermal emissivity of the outside, 0 to 1.
    pub emissivity: f64,
    /// Whether a wrap goes round it, over the joints of floor and boxes.
    pub wrapped: bool,
}

/// One box with its frames.
#[derive(Debug, Clone, PartialEq)]
pub struct HiveBox {
    /// Pattern name as the user gave it, e.g. "ten-frame deep".
    pub pattern: String,
    /// Outside size along the combs (y), m.
    pub length: f64,
    /// Outside size across the combs (x), m.
    pub width: f64,
    /// Depth of the box (z), m.
    pub depth: f64,
    /// Wall layers from the inside outwards (normally one board).
    pub walls: Vec<Layer>,
    /// Number of frames hanging in it; 0 for an empty box or eke.
    pub frames: u32,
    /// Comb pitch, m.
    pub pitch: f64,
    /// Comb length (y) inside the frame, m.
    pub comb_length: f64,
    /// Comb height (z) inside the frame, m.
    pub comb_height: f64,
    /// Comb thickness, m.
    pub comb_thickness: f64,
    /// Honey one full frame holds, kg.
    pub full_frame: f64,
    /// Where the frames stand when they do not fill the box.
    pub frames_at: FramesAt,
    /// Follower boards, 0 to 2: each stands at the free side of the frames.
    pub followers: u32,
    /// Thickness of one follower board, m.
    pub follower_thickness: f64,
    /// Material the space left beside the frames is filled with; `None` is air.
    pub filler: Option<String>,
    /// Frames of honey in this box (0 to `frames`), as equivalent full frames.
    pub honey_frames: f64,
}

/// Where frames stand in a box wider than they need.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FramesAt {
    /// In the middle.
    Centre,
    /// Against the wall of smaller x.
    Left,
    /// Against the wall of larger x.
    Right,
}

/// An opening to the outside air.
#[derive(Debug, Clone, PartialEq)]
pub struct Opening {
    /// Where it leads.
    pub place: OpeningPlace,
    /// Free area, m2.
    pub area: f64,
    /// Vertical extent of the opening, m.
    pub height: f64,
    /// Height of its middle above z = 0, m.
    pub z: f64,
}

/// Which air space an opening serves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OpeningPlace {
    /// Lower entrance, into the floor space.
    Floor,
    /// Hole in a box wall (box index).
    Box(usize),
    /// Hole or notch under the cover, into the head space.
    Head,
}

/// What is done about the ledge below an overhanging wider box.
#[derive(Debug, Clone, PartialEq)]
pub struct Ledge {
    /// A board closes the underside of the overhang.
    pub shelf: bool,
    /// Thickness of that board, m.
    pub shelf_thickness: f64,
    /// Filler in the void beside the narrower box; `None` leaves it to the outside air (no wall around it).
    pub filler: Option<Layer>,
}

/// What lies between two neighbouring stacks.
#[derive(Debug, Clone, PartialEq)]
pub enum Joint {
    /// Apart: each has an outside face of its own, out of each other's influence.
    Apart,
    /// Box walls face each other over a gap.
    Adjoining {
        /// Width of the gap between the outside faces of the box walls, m; 0 when they touch.
        gap: f64,
        /// State of that gap.
        state: GapState,
        /// The centre wall, if it is not simply the two box walls.
        wall: CentreWall,
        /// One outer cover, one set of top layers and one wrap over both.
        one_cover: bool,
    },
}

/// State of the gap between adjoining stacks.
#[derive(Debug, Clone, PartialEq)]
pub enum GapState {
    /// Boards touch (gap 0).
    Touching,
    /// Taped or covered: still air.
    Closed,
    /// Filled with the named material.
    Filled(String),
    /// Wind blows through.
    Open,
}

/// Make-up of the centre wall of two adjoining stacks.
#[derive(Debug, Clone, PartialEq)]
pub enum CentreWall {
    /// Each stack keeps its own box wall.
    BoxWalls,
    /// One board or layered wall shared by both (a divided box): layers left to right.
    Shared(Vec<Layer>),
}

/// An electric heater in an empty box.
#[derive(Debug, Clone, PartialEq)]
pub struct Heater {
    /// Power, W.
    pub power: f64,
    /// Index of the box it stands in.
    pub in_box: usize,
}

/// A colony in autumn, on the season's start date.
#[derive(Debug, Clone, PartialEq)]
pub struct Colony {
    /// Mass of adult bees, kg.
    pub bees: f64,
    /// Frames of bees as counted, if that is how it was given.
    pub frames_of_bees: Option<f64>,
    /// Stores, kg of honey.
    pub stores: f64,
    /// Pollen, kg.
    pub pollen: f64,
    /// Scale reading and tare, if given: used to say what the scale must read.
    pub scale: Scale,
    /// The keeper's club's number for stores, kg, to print beside ours.
    pub club_stores: Option<f64>,
    /// Where the stores hang, box by box, bottom to top; comes to `stores`.
    pub placements: Vec<HoneyPlacement>,
    /// What is fed, in the order written.
    pub feeds: Vec<FeedEvent>,
    /// Day on which the colony is taken to die, to see what that does to its neighbour.
    pub dies: Option<MonthDay>,
}

/// Something fed on a day, at noon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FeedEvent {
    /// The day, within the season.
    pub date: MonthDay,
    /// What, and how much.
    pub feed: Feed,
}

/// How this hive is weighed.
#[derive(Debug, Clone, PartialEq)]
pub struct Scale {
    /// How the hive is lifted.
    pub lift: Lift,
    /// Weight of everything but bees, stores and pollen (wood, comb, covers), kg.
    pub tare: f64,
    /// Where the tare comes from.
    pub tare_source: TareSource,
    /// Gross reading, kg, if the keeper gave one.
    pub gross: Option<f64>,
    /// The readings behind it.
    pub lifts: Lifts,
}

/// The readings behind a weight, as they were written.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Lifts {
    /// Front and back, kg, if the hive was lifted so.
    pub front_back: Option<[f64; 2]>,
    /// Whether they were written in pounds.
    pub pounds: bool,
}

/// How a hive is lifted for weighing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Lift {
    /// The whole hive on a platform.
    #[serde(rename = "whole")]
    Whole,
    /// Front and back lifted in turn and added.
    #[serde(rename = "front and back")]
    FrontAndBack,
    /// One side lifted and doubled.
    #[serde(rename = "one side")]
    OneSide,
}

impl Lift {
    /// How many lifts of the size of one make the weight of the hive.
    #[must_use]
    pub fn parts(self) -> f64 {
        match self {
            Self::Whole => 1.0,
            Self::FrontAndBack | Self::OneSide => 2.0,
        }
    }
}

/// Where a tare comes from, best first; decides its error.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TareSource {
    /// The keeper weighed the empty set.
    OwnWeighing,
    /// Added up from parts.
    Parts,
}
