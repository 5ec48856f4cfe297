//! Where an error comes from, as budgets list it.

/// Where an error comes from; the order is the order of budgets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// The kart was rolled on once, or a few times.
    Repeats,
    /// The frame settles otherwise each time.
    Settling,
    /// The display moves in steps.
    Step,
    /// Each pad's own error.
    Accuracy,
    /// The error that the pads share.
    Shared,
    /// The officials' scale, where it gave the total: the same scale decides, so that at inspection this cancels.
    OfficialScale,
    /// The steps of its display.
    OfficialStep,
    /// What all weighings that were learned from leave open of the kart.
    Weighings,
    /// A zero that moved.
    Drift,
    /// Pads that are not in one plane.
    Level,
    /// Tops of pads that are not level, under wheels of a turned kart.
    Tops,
    /// What a floor survey leaves.
    Survey,
    /// What a millimetre of pad height or of washers does.
    TwistRate,
    /// Wheelbase and tracks.
    Lengths,
    /// How roll moments are shared.
    RollShare,
    /// Where mounts and tanks are.
    Places,
    /// What the pieces of lead weigh.
    Lead,
    /// Fuel in the tank at the weighing.
    FuelThen,
    /// Fuel in the tank when it counts.
    Fuel,
    /// What drivers weigh and where they act.
    Driver,
    /// The height of the kart as weighed.
    Height,
}

impl Cause {
    /// The words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Cause::Repeats => "pads do not repeat",
            Cause::Settling => "frame settles differently",
            Cause::Step => "steps of the display",
            Cause::Accuracy => "accuracy of each pad",
            Cause::Shared => "error all pads share",
            Cause::OfficialScale => "official scale at the weighing",
            Cause::OfficialStep => "steps of the official scale at the weighing",
            Cause::Weighings => "pads at the weighings learned from",
            Cause::Drift => "zero of the pads",
            Cause::Level => "pads out of level",
            Cause::Tops => "tops of the pads out of level",
            Cause::Survey => "floor survey",
            Cause::TwistRate => "twist rate",
            Cause::Lengths => "wheelbase and tracks",
            Cause::RollShare => "roll share",
            Cause::Places => "places of mounts and tanks",
            Cause::Lead => "weight of the lead",
            Cause::FuelThen => "fuel at the weighing",
            Cause::Fuel => "fuel that is left",
            Cause::Driver => "driver",
            Cause::Height => "height of the kart",
        }
    }
}
