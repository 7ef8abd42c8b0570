/** The camera: minutes to pixels and back, zoom about a point, limits, tiers, revealing without needless movement. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  minuteAtX,
  nearestStop,
  revealing,
  SPAN_MAX,
  SPAN_MIN,
  showing,
  snapStep,
  spanOf,
  tierOf,
  withinLimits,
  xOf,
  ZOOM_STOPS,
  zoomedAt,
} from "../../../web/board/camera.ts";

const viewport = { width: 1000, height: 400 };
const extent = { start: -20_160, end: 90_000, height: 700 };
const cameras = fc.record({
  left: fc.double({ min: -20_000, max: 90_000, noNaN: true }),
  scale: fc.double({ min: viewport.width / SPAN_MAX, max: viewport.width / SPAN_MIN, noNaN: true }),
  top: fc.integer({ min: 0, max: 300 }),
});

describe("camera", () => {
  test("a minute survives the way to pixels and back", () => {
    fc.assert(
      fc.property(cameras, fc.integer({ min: -20_000, max: 100_000 }), (camera, minute) => {
        expect(minuteAtX(camera, xOf(camera, minute))).toBeCloseTo(minute, 5);
      }),
    );
  });

  test("zooming keeps the minute under the pointer where it is, within the nearest and farthest view", () => {
    fc.assert(
      fc.property(
        cameras,
        fc.integer({ min: 0, max: 1000 }),
        fc.double({ min: 0.01, max: 100, noNaN: true }),
        (camera, x, factor) => {
          const zoomed = zoomedAt(camera, x, factor, viewport);
          expect(minuteAtX(zoomed, x)).toBeCloseTo(minuteAtX(camera, x), 4);
          const span = spanOf(zoomed, viewport);
          expect(span).toBeGreaterThanOrEqual(SPAN_MIN - 1e-6);
          expect(span).toBeLessThanOrEqual(SPAN_MAX + 1e-6);
        },
      ),
    );
  });

  test("limits hold and change nothing the second time", () => {
    fc.assert(
      fc.property(cameras, (camera) => {
        const held = withinLimits({ ...camera, left: camera.left * 3, top: camera.top * 9 }, viewport, extent);
        expect(held.top).toBeLessThanOrEqual(extent.height - viewport.height);
        expect(minuteAtX(held, viewport.width / 2)).toBeLessThanOrEqual(extent.end + 1e-3);
        expect(minuteAtX(held, viewport.width / 2)).toBeGreaterThanOrEqual(extent.start - 1e-3);
        expect(withinLimits(held, viewport, extent)).toEqual(held);
      }),
    );
  });

  test("the five tiers change at 60, 12, 4 and 1 pixels an hour", () => {
    const at = (perHour: number) => tierOf({ left: 0, top: 0, scale: perHour / 60 });
    expect([60, 59.9, 12, 11.9, 4, 3.9, 1, 0.9].map(at)).toEqual([
      "clock",
      "full",
      "full",
      "flat",
      "flat",
      "silhouette",
      "silhouette",
      "column",
    ]);
  });

  test("snap is 5 minutes near, 15 farther, 60 in months, 1 on demand", () => {
    const at = (perHour: number, fine = false) => snapStep({ left: 0, top: 0, scale: perHour / 60 }, fine);
    expect([at(30), at(5), at(1.2), at(1.2, true)]).toEqual([5, 15, 60, 1]);
  });

  test("revealing moves nothing that is in view and brings the start of what is not clear of the edge", () => {
    const camera = showing(0, 1000, viewport);
    const inside = { start: 100, end: 300, top: 10, bottom: 40 };
    expect(revealing(camera, inside, viewport)).toEqual(camera);
    const outside = revealing(camera, { start: 2000, end: 2200, top: 500, bottom: 533 }, viewport);
    expect(xOf(outside, 2200)).toBeLessThanOrEqual(viewport.width - 27);
    expect(xOf(outside, 2000)).toBeGreaterThanOrEqual(27);
    expect(533 - outside.top).toBeLessThanOrEqual(viewport.height);
    expect(xOf(revealing(camera, { start: -500, end: 9000, top: 10, bottom: 40 }, viewport), -500)).toBeCloseTo(28, 5);
  });

  test("the named stop nearest to a span, by ratio", () => {
    expect(ZOOM_STOPS[nearestStop(2000)]).toBe(1440);
    expect(ZOOM_STOPS[nearestStop(2900)]).toBe(2880);
    expect(ZOOM_STOPS[nearestStop(10_000_000)]).toBe(SPAN_MAX);
  });
});
