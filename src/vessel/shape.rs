//! Level and volume.

use crate::amount::{Length, Volume};

/// Inside shape of a vessel.
#[derive(Debug, Clone)]
pub enum VesselShape {
    /// A straight or tapered round vessel.
    Cup {
        /// Inside diameter at the bottom.
        bottom: Length,
        /// Inside diameter at the rim.
        top: Length,
        /// Inside height.
        height: Length,
    },
    /// A rectangular tray.
    Tray {
        /// Inside length.
        length: Length,
        /// Inside width.
        width: Length,
        /// Inside height.
        height: Length,
    },
    /// Levels found by pouring known volumes; straight lines between.
    LevelTable(Vec<(Length, Volume)>),
    /// Only capacity and height are known: the level is an estimate for a straight vessel.
    Capacity {
        /// To the rim.
        volume: Volume,
        /// Inside height.
        height: Length,
    },
}

impl VesselShape {
    /// Inside height.
    pub fn height(&self) -> Length {
        todo!()
    }

    /// Volume to the rim.
    pub fn capacity(&self) -> Volume {
        todo!()
    }

    /// Volume below a level.
    pub fn volume_below(&self, _level: Length) -> Volume {
        todo!()
    }

    /// Level at which the vessel holds `volume`; `None` when it overflows.
    pub fn level_of(&self, _volume: Volume) -> Option<Length> {
        todo!()
    }

    /// Whether levels are an estimate.
    pub fn is_estimate(&self) -> bool {
        matches!(self, VesselShape::Capacity { .. })
    }
}
