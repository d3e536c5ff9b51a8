import { PAGE } from './theme.ts';

/** Where the next line goes on a sheet of several pages, one below the other. */
export interface Flow {
  /** From the top of the sheet, points. */
  y: number;
  page: number;
  /** Free lines at the top of each further page, points. */
  readonly head: number;
  /** True for a drawing that is as high as it needs: it has no further page. */
  readonly endless?: boolean;
}

/** A flow that begins `head` points below the margin of page 0. */
export function startFlow(head: number): Flow {
  return { y: PAGE.top + head, page: 0, head };
}

/** Goes to the next page unless `height` points are left on this one; true where it went. */
export function makeRoom(flow: Flow, height: number): boolean {
  if (flow.endless === true || flow.y + height <= flow.page * PAGE.height + PAGE.bottom) return false;
  flow.page += 1;
  flow.y = flow.page * PAGE.height + PAGE.top + flow.head;
  return true;
}
