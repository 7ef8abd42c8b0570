/**
 * The camera: which stretch of time and which rows a board shows. Minutes to pixels and back, zoom about a point, limits, zoom tiers.
 * Pure. x and y are CSS pixels from the top left corner of the time area (right of the names, below the axis).
 * Minutes are elapsed and linear; wall-clock times belong to ticks.ts.
 */

export type Camera = {
  /** Minute at the left edge; not whole. */
  readonly left: number;
  /** Pixels per minute. */
  readonly scale: number;
  /** Pixels scrolled down. */
  readonly top: number;
};

/** Size of the time area in pixels. */
export type Viewport = { readonly width: number; readonly height: number };

/** What there is to see: first and last minute, height of all rows. */
export type Extent = { readonly start: number; readonly end: number; readonly height: number };

/** Nearest and farthest view, in minutes across the viewport. */
export const SPAN_MIN = 10;
export const SPAN_MAX = 184 * 1440;

export const xOf = (camera: Camera, minute: number): number => (minute - camera.left) * camera.scale;
export const minuteAtX = (camera: Camera, x: number): number => camera.left + x / camera.scale;
export const spanOf = (camera: Camera, viewport: Viewport): number => viewport.width / camera.scale;

const between = (low: number, value: number, high: number): number => Math.max(low, Math.min(high, value));

/** Some ground beside the first and last minute stays reachable, so that edges can be brought to the middle. */
export function withinLimits(camera: Camera, viewport: Viewport, extent: Extent): Camera {
  const width = Math.max(1, viewport.width);
  const scale = between(width / SPAN_MAX, camera.scale, width / SPAN_MIN);
  const half = width / scale / 2;
  return {
    scale,
    left: between(extent.start - half, camera.left, Math.max(extent.start - half, extent.end - half)),
    top: between(0, camera.top, Math.max(0, extent.height - viewport.height)),
  };
}

export const panned = (camera: Camera, dx: number, dy: number): Camera => ({
  scale: camera.scale,
  left: camera.left - dx / camera.scale,
  top: camera.top - dy,
});

/** Zooms by a factor; the minute under x stays there. */
export function zoomedAt(camera: Camera, x: number, factor: number, viewport: Viewport): Camera {
  const scale = between(viewport.width / SPAN_MAX, camera.scale * factor, viewport.width / SPAN_MIN);
  const minute = minuteAtX(camera, x);
  return { scale, left: minute - x / scale, top: camera.top };
}

/** Shows [start, end) across the whole width. */
export const showing = (start: number, end: number, viewport: Viewport, top = 0): Camera => ({
  scale: viewport.width / Math.max(SPAN_MIN, Math.min(SPAN_MAX, end - start)),
  left: start,
  top,
});

/** Moves as little as possible so that a box is clear of the edges by a margin. */
export function revealing(
  camera: Camera,
  box: { readonly start: number; readonly end: number; readonly top: number; readonly bottom: number },
  viewport: Viewport,
  margin = 28,
): Camera {
  let { left, top } = camera;
  const x = xOf(camera, box.start);
  const right = xOf(camera, box.end);
  const room = viewport.width - 2 * margin;
  if (x < margin || right - x > room) left = box.start - margin / camera.scale;
  else if (right > viewport.width - margin) left = box.end - (viewport.width - margin) / camera.scale;
  if (right - x > room && x >= margin && x < viewport.width - margin) left = camera.left;
  if (box.top - top < 0) top = box.top;
  else if (box.bottom - top > viewport.height) top = box.bottom - viewport.height;
  return { scale: camera.scale, left, top };
}

/** How much a picture says at a zoom: clock times at phase edges, everything, flat tints, silhouettes, a column a day. */
export type Tier = "clock" | "full" | "flat" | "silhouette" | "column";

export function tierOf(camera: Camera): Tier {
  const hour = camera.scale * 60;
  if (hour >= 60) return "clock";
  if (hour >= 12) return "full";
  if (hour >= 4) return "flat";
  if (hour >= 1) return "silhouette";
  return "column";
}

/** Steps on which a moved bar comes to rest: fine near, coarse far, one minute on demand. */
export function snapStep(camera: Camera, fine: boolean): number {
  if (fine) return 1;
  const hour = camera.scale * 60;
  if (hour >= 12) return 5;
  return hour >= 2 ? 15 : 60;
}

/** The stops of the scale that people choose by name, as minutes across the viewport. */
export const ZOOM_STOPS = [10, 60, 480, 1440, 2880, 10_080, 44_640, SPAN_MAX] as const;
export const nearestStop = (span: number): number => {
  let best = 0;
  for (let i = 1; i < ZOOM_STOPS.length; i++) {
    const now = Math.abs(Math.log(span / (ZOOM_STOPS[i] as number)));
    if (now < Math.abs(Math.log(span / (ZOOM_STOPS[best] as number)))) best = i;
  }
  return best;
};
