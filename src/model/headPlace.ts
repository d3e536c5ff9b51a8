/** Where the head point and the head markers sit on the club in one swing: lengths in metres by their names, such as 'along the shaft'. */
export type HeadPlace = Readonly<Record<string, number>>;
