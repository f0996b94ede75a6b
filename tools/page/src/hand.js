// SPDX-License-Identifier: GPL-3.0-or-later
// Turning and zooming by mouse, finger and wheel. One pointer turns, two zoom (pinch) and shift.

const TURN = 0.008;  // radians for each pixel

function apart([a, b]) {
  return Math.hypot(a.x - b.x, a.y - b.y);
}

function between([a, b]) {
  return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
}

/** view: has turn(across, upward), zoomBy(factor), shift(right, down); tapped(event): without a drag. */
export function handle(canvas, view, tapped) {
  const held = new Map();
  let moved = 0;
  const stop = (event) => {
    const tap = held.size === 1 && held.has(event.pointerId) && moved < 5 && event.type === 'pointerup';
    held.delete(event.pointerId);
    if (tap) tapped(event);
  };
  canvas.addEventListener('pointerdown', (event) => {
    canvas.setPointerCapture?.(event.pointerId);
    if (held.size === 0) moved = 0;
    held.set(event.pointerId, { x: event.clientX, y: event.clientY });
  });
  canvas.addEventListener('pointermove', (event) => {
    const last = held.get(event.pointerId);
    if (!last) return;
    const before = [...held.values()].map((p) => ({ ...p }));
    const [dx, dy] = [event.clientX - last.x, event.clientY - last.y];
    moved += Math.abs(dx) + Math.abs(dy);
    last.x = event.clientX;
    last.y = event.clientY;
    const now = [...held.values()];
    if (held.size === 2) {
      view.zoomBy(apart(now) / Math.max(1, apart(before)));
      view.shift(between(now).x - between(before).x, between(now).y - between(before).y);
    } else if (event.shiftKey) {
      view.shift(dx, dy);
    } else if (moved >= 5) {
      view.turn(-TURN * dx, -TURN * dy);
    }
  });
  canvas.addEventListener('pointerup', stop);
  canvas.addEventListener('pointercancel', stop);
  canvas.addEventListener('wheel', (event) => {
    event.preventDefault();
    view.zoomBy(Math.exp(-0.0015 * event.deltaY));
  }, { passive: false });
}
