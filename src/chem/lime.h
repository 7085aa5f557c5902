/* lime.h: slaked lime, Ca(OH)2, and the soluble salts it forms with sugar and lactic acid.
 *
 * Equilibrium constants are log10, on the scale of mol/L activities, at a temperature in K.
 */
#ifndef VATCAST_CHEM_LIME_H
#define VATCAST_CHEM_LIME_H

#define LIME_MOLAR_MASS 0.074093            /* kg/mol of Ca(OH)2 */
#define LIME_DENSITY 2240.0                 /* kg/m3, of the solid; from memory */
#define CALCIUM_LACTATE_MOLAR_MASS 0.218218 /* kg/mol, anhydrous */

/* log K of Ca(OH)2 + 2 H+ = Ca2+ + 2 H2O; 22.80 at 25 degC. 0 to 100 degC.
 * CEMDATA18 (Lothenbach et al., Cem. Concr. Res. 115, 472, 2019). */
double lime_log_k_portlandite(double temperature_K);

/* log Ksp of Ca(OH)2 = Ca2+ + 2 OH-; -5.19 at 25 degC. 0 to 60 degC, the range of the pKw it is made with. */
double lime_log_ksp(double temperature_K);

/* log K of Ca2+ + OH- = CaOH+; 1.30 at 25 degC. 0 to 60 degC. NIST46 by way of MINTEQ.v4: log K -12.697 and 64.11
 * kJ/mol as a hydrolysis, turned round with pKw. (A hydrolysis constant without its enthalpy drifts badly off 25
 * degC.) */
double calcium_hydroxide_pair_log_k(double temperature_K);

/* Calcium held in solution by sucrose over plain limewater, mol/m3, when solid lime is in excess.
 * A linear rule through one point, Liquor calcis saccharatus of the British Pharmacopoeia: 0.9 mol per mol of sucrose.
 * Range: 0 to 300 mol/m3 of sucrose (100 g/L), 15 to 20 degC; it falls when warmed. Negative sucrose counts as none. */
double lime_saccharate_calcium(double sucrose_mol_per_m3);

/* Solubility of calcium L-lactate in water, kg of anhydrous salt per m3. 10 to 30 degC, within 4.5 %.
 * An exponential fitted to an encyclopaedia table: 48, 58, 67 g/L at 10, 20, 25 degC and, at 30 degC, 79 or 85 by two
 * references (fitted to 82). */
double calcium_lactate_solubility(double temperature_K);

#endif
