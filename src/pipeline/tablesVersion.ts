/** Of the columns and names of the output; raised when one changes its meaning or name. */
export const TABLES_VERSION = 1;
