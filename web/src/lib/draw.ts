import type { GeoJSONSource, Map as LibreMap, Marker } from 'maplibre-gl';
import type { Ground, Plan } from './api';
import { clock } from './format';

type Libre = typeof import('maplibre-gl');
type Corners = [[number, number], [number, number], [number, number], [number, number]];

/** MapLibre comes only when a map is looked at. Its worker is a file of this server, so that the page's policy can forbid the
 *  making of programs from text. */
export async function loadLibre(): Promise<Libre> {
  const [libre, worker] = await Promise.all([
    import('maplibre-gl/dist/maplibre-gl-csp'),
    import('maplibre-gl/dist/maplibre-gl-csp-worker.js?url'),
    import('maplibre-gl/dist/maplibre-gl.css'),
  ]);
  const module = ((libre as { default?: unknown }).default ?? libre) as Libre;
  module.setWorkerUrl(worker.default);
  return module;
}

/** A map without any style or tile from outside: paper, and what the server draws. */
export function makeMap(libre: Libre, container: HTMLElement, ground: Ground): LibreMap {
  const map = new libre.Map({
    container,
    style: { version: 8, sources: {}, layers: [{ id: 'paper', type: 'background', paint: { 'background-color': '#e9e4da' } }] },
    bounds: [[ground.west, ground.south], [ground.east, ground.north]],
    fitBoundsOptions: { padding: 12 },
    maxZoom: 18,
    attributionControl: false,
    dragRotate: false,
    pitchWithRotate: false,
    touchPitch: false,
  });
  map.touchZoomRotate.disableRotation();
  map.keyboard.disableRotation();
  map.addControl(new libre.NavigationControl({ showCompass: false }), 'top-right');
  map.addControl(new libre.ScaleControl({ maxWidth: 140, unit: 'metric' }), 'bottom-left');
  return map;
}

/** Lays a picture of the ground's grid between its four corners; null takes it away. */
export function setPicture(map: LibreMap, id: string, picture: ImageBitmap | null, ground: Ground, before?: string): void {
  if (map.getLayer(id)) map.removeLayer(id);
  if (map.getSource(id)) map.removeSource(id);
  if (!picture) return;
  const canvas = document.createElement('canvas');
  canvas.width = picture.width;
  canvas.height = picture.height;
  canvas.getContext('2d')!.drawImage(picture, 0, 0);
  map.addSource(id, { type: 'canvas', canvas, animate: false, coordinates: ground.corners as unknown as Corners });
  map.addLayer({ id, type: 'raster', source: id, paint: { 'raster-resampling': 'nearest', 'raster-fade-duration': 0 } }, before && map.getLayer(before) ? before : undefined);
}

function mark(text: string, kind: string, says: string): HTMLElement {
  const element = document.createElement('div');
  element.className = `mark ${kind}`;
  element.textContent = text;
  element.setAttribute('role', 'img');
  element.setAttribute('aria-label', says);
  return element;
}

export function startMarker(libre: Libre, map: LibreMap, lat: number, lon: number): Marker {
  return new libre.Marker({ element: mark('S', 'start', 'Start') }).setLngLat([lon, lat]).addTo(map);
}

/** The walk: a cased dashed line and a numbered disc at each stop. Gives the markers back, to be taken away later. */
export function drawPlan(libre: Libre, map: LibreMap, plan: Plan | null): Marker[] {
  const lines = (plan?.legs ?? []).filter((leg) => leg.line.length > 1);
  const data = {
    type: 'FeatureCollection' as const,
    features: lines.map((leg) => ({
      type: 'Feature' as const,
      properties: { from: leg.from, to: leg.to },
      geometry: { type: 'LineString' as const, coordinates: leg.line as unknown as [number, number][] },
    })),
  };
  const there = map.getSource('walk') as GeoJSONSource | undefined;
  if (there) {
    there.setData(data);
  } else {
    map.addSource('walk', { type: 'geojson', data });
    map.addLayer({ id: 'walk-case', type: 'line', source: 'walk', layout: { 'line-cap': 'round', 'line-join': 'round' }, paint: { 'line-color': '#ffffff', 'line-width': 9 } });
    map.addLayer({ id: 'walk', type: 'line', source: 'walk', layout: { 'line-join': 'round' }, paint: { 'line-color': '#0b1f4d', 'line-width': 4, 'line-dasharray': [2, 1] } });
  }
  return (plan?.stops ?? []).map((stop) =>
    new libre.Marker({ element: mark(String(stop.number), 'stop', `Stop ${stop.number}, turn back by ${clock(stop.turn_back)}`) })
      .setLngLat([stop.lon, stop.lat])
      .addTo(map),
  );
}

/** Shows the whole walk, not nearer than a few hundred metres. */
export function showPlan(map: LibreMap, plan: Plan): void {
  const points = [...plan.legs.flatMap((leg) => leg.line), ...plan.stops.map((stop) => [stop.lon, stop.lat])] as [number, number][];
  if (points.length === 0) return;
  const lons = points.map((each) => each[0]);
  const lats = points.map((each) => each[1]);
  map.fitBounds([[Math.min(...lons), Math.min(...lats)], [Math.max(...lons), Math.max(...lats)]], { padding: 50, maxZoom: 15.5, duration: 0 });
}
