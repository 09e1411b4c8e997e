// Writes every tide station that may be shipped as one JSON line each, on standard output, by id.
// Use: npm ci && node dump.mjs > stations.jsonl
//
// Reads the pinned package through its public interface only. What may not be used commercially is left out here,
// before anything else sees it; how many were is said on standard error.
import { allStations } from '@neaps/tide-database';

const tides = allStations.filter((s) => s.kind !== 'current');
const free = tides.filter((s) => s.license.commercial_use === true);
const byId = (a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);

for (const s of free.sort(byId)) {
  const q = s.quality;
  const aside = q && !q.accepted;
  console.log(
    JSON.stringify({
      id: s.id,
      name: s.name,
      country: s.country,
      region: s.region ?? '',
      latitude: s.latitude,
      longitude: s.longitude,
      zone: s.timezone,
      datum: s.chart_datum ?? null,
      // Mean sea level above chart datum; a subordinate's heights come by its offsets.
      mean_level: s.offsets ? null : (s.datums?.MSL ?? null) === null ? null : s.datums.MSL - s.datums[s.chart_datum],
      datum_derived: s.datums_source === 'harmonic',
      epoch: s.epoch ? [s.epoch.start, s.epoch.end] : null,
      source: s.source.name,
      source_id: s.source.id,
      source_url: s.source.url,
      licence: s.license.type,
      licence_url: s.license.url,
      attribution: s.attribution,
      disclaimers: s.disclaimers ?? null,
      set_aside: aside ? { reason: q.reason ?? 'review', issues: q.issues ?? [], instead: q.redundant ?? null } : null,
      offsets: s.offsets ?? null,
      constituents: s.offsets ? [] : s.harmonic_constituents.map((c) => [c.name, c.amplitude, c.phase]),
    }),
  );
}
console.error(`${tides.length} tide stations, ${tides.length - free.length} of them not for commercial use and left out`);
