import { quantityById } from '../../../model/catalogue.ts';

/** A quantity as a table names it, and what it means to be above and below zero. */
export interface QuantityWords {
  readonly label: string;
  readonly plus: string;
  readonly minus: string;
}

/** The words of the catalogue, which are English. */
export const QUANTITIES = {
  of: (id: string): QuantityWords => quantityById(id),
  /** Shorter or plainer at the marks of single swings; of the others those above hold. */
  plusAtMarks: {
    'club.path': 'in to out',
    'club.face': 'open',
    'club.face_to_path': 'open',
    'club.plane_direction': 'in to out',
    'club.late_plane_direction': 'in to out',
    'club.plane_after_direction': 'in to out',
  } as Readonly<Record<string, string>>,
};
