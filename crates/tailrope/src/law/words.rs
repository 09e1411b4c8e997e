//! The fixed words of the pack format: levels, kinds, effects, stages, statuses, evidence, verdicts.

use serde::{Deserialize, Serialize};

/// An enum whose words in files and reports are kebab-case, with its words listed in order.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $( $(#[$vdoc:meta])* $variant:ident = $word:literal, )+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema)]
        pub enum $name { $( $(#[$vdoc])* #[serde(rename = $word)] $variant, )+ }
        impl $name {
            /// All of them, in order.
            pub const ALL: &[Self] = &[$( Self::$variant ),+];
            /// The word in files and reports.
            pub const fn word(self) -> &'static str {
                match self { $( Self::$variant => $word ),+ }
            }
            /// The one of this word.
            pub fn of_word(word: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|v| v.word() == word)
            }
        }
        impl core::fmt::Display for $name {
            fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result { f.write_str(self.word()) }
        }
    };
}

words! {
    /// Whose rules a pack holds, in the order in which packs are stacked.
    Level {
        /// A nation.
        Federal = "federal",
        /// A state or province.
        State = "state",
        /// A county.
        County = "county",
        /// A city or town.
        City = "city",
        /// A park, seashore or reserve.
        Park = "park",
        /// One beach, pier or club.
        Site = "site",
    }
}
words! {
    /// What a rule is about.
    Kind {
        /// Fishing licence.
        Licence = "licence",
        /// Permit beside the licence.
        Permit = "permit",
        /// Course or quiz.
        Education = "education",
        /// Hook.
        Hook = "hook",
        /// Leader.
        Leader = "leader",
        /// Line and hook cutters.
        Cutter = "cutter",
        /// Any other gear.
        OtherGear = "other-gear",
        /// How the bait gets out.
        BaitDelivery = "bait-delivery",
        /// What the bait is.
        BaitKind = "bait-kind",
        /// Chum or berley.
        Chumming = "chumming",
        /// Closed places.
        AreaClosure = "area-closure",
        /// Closed hours.
        TimeClosure = "time-closure",
        /// Closed months.
        Season = "season",
        /// Protected kinds of fish.
        SpeciesStatus = "species-status",
        /// Lengths.
        SizeLimit = "size-limit",
        /// Numbers kept.
        BagLimit = "bag-limit",
        /// How a fish is treated.
        Handling = "handling",
        /// What must be reported.
        Reporting = "reporting",
        /// Tags.
        Tagging = "tagging",
        /// What becomes of a kept fish.
        SaleTransport = "sale-transport",
        /// Kayaks, boards, boats.
        Craft = "craft",
        /// Drones.
        Drone = "drone",
        /// Vehicles on the beach.
        Vehicle = "vehicle",
        /// Fires and camping.
        FireCamp = "fire-camp",
        /// Gates, hours, parking.
        AccessHours = "access-hours",
        /// People in the water.
        Bathers = "bathers",
        /// Turtles, mammals, birds, sawfish.
        ProtectedAnimal = "protected-animal",
        /// A rule that may come.
        Pending = "pending",
        /// Something to know.
        Info = "info",
    }
}
words! {
    /// What a rule does.
    Effect {
        /// Bars something.
        Forbid = "forbid",
        /// Asks for something.
        Require = "require",
        /// Sets a number.
        Limit = "limit",
        /// Tells something.
        Inform = "inform",
    }
}
words! {
    /// How far the night has gone, in order.
    Stage {
        /// The plan.
        Plan = "plan",
        /// Putting the bait out.
        SetBait = "set-bait",
        /// A fish is on.
        Hooked = "hooked",
        /// The fish is in the wash.
        Landed = "landed",
        /// It is let go.
        Release = "release",
        /// Afterwards.
        After = "after",
    }
}
words! {
    /// How a kind of fish stands in law, strictest first.
    Status {
        /// Not even fished for.
        NoTarget = "no-target",
        /// Never kept.
        Prohibited = "prohibited",
        /// Let go for now.
        ReleaseOnly = "release-only",
        /// Kept from a length.
        SizeLimited = "size-limited",
        /// Kept in numbers.
        BagLimited = "bag-limited",
        /// No rule.
        Unregulated = "unregulated",
    }
}
words! {
    /// What was read.
    Evidence {
        /// The text itself or the agency's page.
        Seen = "SEEN",
        /// Somebody's copy or report.
        SeenSecondary = "SEEN-SECONDARY",
        /// From memory, or inferred: never *comply*, never a bare *breach*.
        Recalled = "RECALLED",
    }
}
words! {
    /// How far a pack covers a kind of rule.
    Cover {
        /// All that was found was read.
        Full = "full",
        /// Part of it.
        Partial = "partial",
        /// Nothing.
        None = "none",
    }
}
words! {
    /// What a rule says of this outing; worst first.
    Verdict {
        /// Unlawful.
        Breach = "breach",
        /// Unlawful by a rule that was only recalled: ask first.
        LikelyBreach = "likely-breach",
        /// A fact is missing.
        NeedFact = "need-fact",
        /// Only the agency can tell.
        AskAgency = "ask-agency",
        /// Kept by the pack, but the pack is past its review.
        Stale = "stale",
        /// A rule may change.
        Pending = "pending",
        /// Kept.
        Comply = "comply",
        /// A duty that lies ahead or that no fact can prove.
        Reminder = "reminder",
        /// Something to know.
        Inform = "inform",
        /// A higher law bars this rule; kept as good manners.
        Struck = "struck",
        /// Another pack replaces this rule.
        Superseded = "superseded",
        /// It does not bite.
        Silent = "silent",
    }
}
words! {
    /// What a finding means for the plan.
    Severity {
        /// The plan stops.
        Stop = "stop",
        /// Something is to be asked or checked.
        Caution = "caution",
        /// To be known.
        Note = "note",
    }
}

impl Verdict {
    /// What it means for the plan. A text that disagrees with another of its own authority is never less
    /// than a caution.
    pub const fn severity(self, conflict: bool) -> Option<Severity> {
        Some(match self {
            Self::Breach | Self::LikelyBreach => Severity::Stop,
            Self::NeedFact | Self::AskAgency | Self::Stale | Self::Pending => Severity::Caution,
            Self::Comply | Self::Reminder | Self::Inform if conflict => Severity::Caution,
            Self::Comply | Self::Reminder | Self::Inform | Self::Struck | Self::Superseded => Severity::Note,
            Self::Silent => return None,
        })
    }
}
