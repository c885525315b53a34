/** One path of two contacts: a volt lost in front of 1 kOhm is a quarter of a kOhm, by Ohm's law. */
export const TWO_CONTACTS = `pool: Kestrel Bay
lanes: 1
devices: [touchpad]
supply: { emf: 5, emf_sd: 0.05, source_ohms: 0 }
meters: [{ name: deck, load_ohms: 1000, resolution: 0.01, noise: 0.02 }]
chain:
  - { point: plate, connector: plate connector, class: plate, shared_by: lane }
  - { point: pod, connector: pod terminals, class: pod, shared_by: device }
`;
