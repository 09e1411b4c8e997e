//! All data packs a plan reads, in one value.

use super::bathers::Bathers;
use super::kit::KitPack;
use super::limits::Limits;
use super::plan::PackView;
use crate::facts::{PackText, Source};
use crate::fight;
use crate::fish::SpeciesPack;
use crate::hold::HoldPack;
use crate::law::LawPacks;
use crate::people::{FootingPack, RoleRules};
use crate::sea::surf::SurfPack;
use crate::sea::tide::Stations;
use crate::sea::tide::world::World;
use crate::tackle::Tables;
use crate::{Error, Result};

/// All data packs.
#[derive(Clone, Debug)]
pub struct Facts {
    /// Species.
    pub species: SpeciesPack,
    /// Tackle tables.
    pub tackle: Tables,
    /// Fight parameters.
    pub fight: fight::Pack,
    /// Footing.
    pub footing: FootingPack,
    /// Roles and crew.
    pub roles: RoleRules,
    /// Surf.
    pub surf: SurfPack,
    /// Sinkers, baits and the bed.
    pub hold: HoldPack,
    /// Tide stations: the world pack, and before it the crew's own.
    pub stations: Stations,
    /// Rule packs.
    pub law: LawPacks,
    /// Limits as shipped or shadowed; a crew's edits are applied by the plan.
    pub limits: Limits,
    /// When people bathe.
    pub bathers: Bathers,
    /// Kit.
    pub kit: KitPack,
    /// Name and hash of every text read.
    pub packs: Vec<PackView>,
}

/// A crew's own tide stations, which nobody must have.
pub const OWN_STATIONS: &str = "stations.toml";
/// Name of the world pack of tide stations in the data folder.
pub const WORLD: &str = "stations.bin";

/// Names of the packs beside the rule packs, as files of the data folder.
pub const NAMES: [&str; 11] = [
    "species.toml",
    "tackle.toml",
    "fight.toml",
    "footing.toml",
    "roles.toml",
    "surf.toml",
    "hold.toml",
    "limits.toml",
    "bathers.toml",
    "kit.toml",
    "law-facts.toml",
];

impl Facts {
    /// Reads all packs. `texts` holds every file by its name in the data folder (`species.toml`,
    /// `law/us-tx.toml`); of two with one name the later is taken, so that a crew's own folder shadows what is
    /// shipped. A crew's own tide stations ([`OWN_STATIONS`]) are read where there are some. Without a `world` pack
    /// only they are known: enough where no tide is asked for.
    pub fn read(texts: &[PackText<'_>], world: Option<World>) -> Result<Self> {
        let find = |name: &str| {
            texts.iter().rev().find(|t| t.file == name).copied().ok_or_else(|| {
                Error::new(
                    format!("the pack `{name}` is missing"),
                    "every pack of the data folder",
                    "give the folder that holds it",
                )
            })
        };
        // The first text of a name is the shipped one, a later one the crew's own.
        let (mut shipped, mut own): (Vec<PackText<'_>>, Vec<PackText<'_>>) = (Vec::new(), Vec::new());
        for t in texts.iter().filter(|t| t.file.starts_with("law/")) {
            let list = if shipped.iter().any(|known| known.file == t.file) { &mut own } else { &mut shipped };
            match list.iter_mut().find(|known| known.file == t.file) {
                Some(known) => *known = *t,
                None => list.push(*t),
            }
        }
        let mut packs = Vec::new();
        for name in NAMES {
            packs.push(PackView { id: name.to_owned(), hash: find(name)?.hash() });
        }
        if let Some(world) = &world {
            packs.push(PackView { id: WORLD.to_owned(), hash: world.hash() });
        }
        let stations = match texts.iter().rev().find(|t| t.file == OWN_STATIONS) {
            Some(own) => {
                packs.push(PackView { id: OWN_STATIONS.to_owned(), hash: own.hash() });
                Stations::read_beside(own, world)?
            }
            None => world.map(Stations::of_world).unwrap_or_default(),
        };
        for t in &shipped {
            let used = own.iter().find(|o| o.file == t.file).unwrap_or(t);
            packs.push(PackView { id: t.file.to_owned(), hash: used.hash() });
        }
        Ok(Self {
            species: SpeciesPack::load(&find("species.toml")?)?,
            tackle: Tables::read(&find("tackle.toml")?)?,
            fight: fight::Pack::read(&find("fight.toml")?)?,
            footing: FootingPack::read(find("footing.toml")?)?,
            roles: RoleRules::read(find("roles.toml")?)?,
            surf: SurfPack::read(&find("surf.toml")?)?,
            hold: HoldPack::read(&find("hold.toml")?)?,
            stations,
            law: LawPacks::load(&find("law-facts.toml")?, &shipped, &own)?,
            limits: Limits::read(&find("limits.toml")?)?,
            bathers: Bathers::read(&find("bathers.toml")?)?,
            kit: KitPack::read(&find("kit.toml")?)?,
            packs,
        })
    }

    /// Sources of the packs, by handle; for what a plan cites.
    pub fn sources(&self) -> impl Iterator<Item = &Source> {
        self.species.sources.iter().chain(self.footing.source.iter()).chain(self.roles.source.iter())
    }
}
