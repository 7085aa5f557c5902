/* lanes_numbers.h: the functions behind number_lanes.h; included after it, once for each OF. No include guard. */
ON static inline void OF(take_root)(lane_numbers *to, const lane_numbers *of)
{
    for (int lane = 0; lane < LANES; lane++) {
        (*to)[lane] = sqrt((*of)[lane]);
    }
}

ON static inline void OF(take_exponential)(lane_numbers *to, const lane_numbers *of)
{
    for (int lane = 0; lane < LANES; lane++) {
        (*to)[lane] = exp((*of)[lane]);
    }
}

ON static inline bool OF(is_any)(const lane_marks *marked)
{
    int64_t any = 0;
    for (int lane = 0; lane < LANES; lane++) {
        any |= (*marked)[lane];
    }
    return any != 0;
}
