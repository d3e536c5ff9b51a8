export const SENSOR_METHODS = {
  'strap-down': 'ab dem stillen Ansprechen integriert, Neigung dort aus der Schwerkraft',
  file: 'Ausrichtungen der Datei',
  inclination: 'Filter mit Neigung aus der Schwerkraft (inclination)',
  mahony: 'Filter mit Neigung aus der Schwerkraft (Mahony 2008)',
  madgwick: 'Filter mit Neigung aus der Schwerkraft (Madgwick 2011)',
};
