/* spectrum.h: indigo's absorption, undyed cloth and dyed cloth over the visible, 380 to 780 nm in steps of 10 nm.
 *
 * No table of indigo on cloth could be read. The shape is an estimate: bands placed by what is published (see
 * indigo_shape) and set so that cotton comes out with the colours seen on dyed cotton.
 */
#ifndef VATCAST_CHEM_SPECTRUM_H
#define VATCAST_CHEM_SPECTRUM_H

#define SPECTRUM_COUNT 41
#define SPECTRUM_FIRST_NM 380.0
#define SPECTRUM_STEP_NM 10.0

struct spectrum {
    double at[SPECTRUM_COUNT];
};

/* How a kind of cloth looks undyed, and how indigo sits on it. */
struct cloth_look {
    double reflectance_450; /* of the undyed cloth as seen, floor and all; 0 to 1 */
    double reflectance_650; /* not less than at 450: undyed fibres are white to yellowish brown */
    double peak_nm; /* of indigo's absorption: 660 on cotton; 660 to 620 on wool (Son, Shin & Yoo 2010, abstract) */
    double specular_floor; /* see reflectance_with_floor */
};

/* Wavelength of entry `i`, nm. */
double spectrum_wavelength_nm(int i);

/* Value at any wavelength, nm, on the straight line between its neighbours; the end values outside. */
double spectrum_value(const struct spectrum *spectrum, double wavelength_nm);

/* Indigo's absorption over that at its peak, 1 at `peak_nm`, whatever the peak; another peak moves all of it. Estimate,
 * from: a peak at 660 nm on cotton and a shoulder at 635 (Sahin et al., Text. Res. J. 74, 193, 2004, in water); a steep
 * red edge and a least absorption at 400 to 420 nm, as common for indigo; cotton of Munsell hue 3.5 to 5.6 PB whose
 * chroma and value fall with the uptake (Cho, Shin & Yoo, abstract); L* 22.7 at a K/S above 15 (Park 2023, abstract;
 * lightly overdyed). 380 to 780 nm, peak 600 to 680 nm. */
double indigo_shape(double wavelength_nm, double peak_nm);

/* K/S of undyed cloth: one exponential through its two reflectances, falling toward the red, as for the chromophores of
 * aged cellulose, lignin and proteins (estimate). */
void undyed_k_over_s(const struct cloth_look *look, struct spectrum *k_over_s);

/* K/S of the dye, given its value at the peak and the limit of struct indigo_yield. Each wavelength saturates by
 * itself, by its own absorption, with the same law as the peak: deep shades grow duller, as dyers see (estimate). A
 * peak value at the limit or above counts as 0.999 of the limit. */
void indigo_k_over_s(double k_over_s_peak, double k_over_s_limit, double peak_nm, struct spectrum *k_over_s);

/* Reflectance as seen of dyed cloth: Kubelka-Munk of the sum of both K/S, and the floor. */
void dyed_cloth_reflectance(const struct cloth_look *look, double k_over_s_peak, double k_over_s_limit,
                            struct spectrum *reflectance);

#endif
