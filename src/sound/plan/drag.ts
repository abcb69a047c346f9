/** Dragging by mouse, pen or finger: the pointer is captured and its moves are brought together, one for each frame. */

export interface Drag {
  /** Called at most once a frame with the newest event. */
  move: (event: PointerEvent) => void;
  end: () => void;
}

/** Movement that makes a press a drag, px: less is a click. */
const THRESHOLD = 3;

/** Follows the pointer that `event` pressed on its element until it is let go. */
export function followPointer(event: PointerEvent, { move, end }: Drag): void {
  if (event.button !== 0) return;
  const element = event.currentTarget as Element;
  const { pointerId, clientX, clientY } = event;
  let newest: PointerEvent | null = null;
  let frame = 0;
  let moving = false;
  const flush = () => {
    frame = 0;
    if (newest) move(newest);
    newest = null;
  };
  const onMove = (e: Event) => {
    const next = e as PointerEvent;
    if (next.pointerId !== pointerId) return;
    if (!moving && Math.hypot(next.clientX - clientX, next.clientY - clientY) < THRESHOLD) return;
    moving = true;
    newest = next;
    if (!frame) frame = requestAnimationFrame(flush);
  };
  const onEnd = (e: Event) => {
    if ((e as PointerEvent).pointerId !== pointerId) return;
    element.removeEventListener('pointermove', onMove);
    element.removeEventListener('pointerup', onEnd);
    element.removeEventListener('lostpointercapture', onEnd);
    cancelAnimationFrame(frame);
    flush();
    end();
  };
  element.setPointerCapture(pointerId);
  element.addEventListener('pointermove', onMove);
  element.addEventListener('pointerup', onEnd);
  element.addEventListener('lostpointercapture', onEnd);
}
