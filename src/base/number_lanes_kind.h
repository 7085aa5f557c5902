/* number_lanes_kind.h: the types and functions behind number_lanes.h, for one kind of processor: included after it, once for each. No
 * include guard. */
typedef double OF(numbers) __attribute__((vector_size(WIDTH * sizeof(double))));
typedef int64_t OF(marks) __attribute__((vector_size(WIDTH * sizeof(int64_t))));

ON static inline void OF(take_root)(NUMBER *to, const NUMBER *of)
{
    NUMBER found = *of;
    for (int lane = 0; lane < WIDTH; lane++) {
        found[lane] = sqrt(found[lane]);
    }
    *to = found;
}

ON static inline void OF(take_exponential)(NUMBER *to, const NUMBER *of)
{
    NUMBER found = *of;
    for (int lane = 0; lane < WIDTH; lane++) {
        found[lane] = exp(found[lane]);
    }
    *to = found;
}

ON static inline bool OF(is_any)(const MARKS *marked)
{
    int64_t any = 0;
    for (int lane = 0; lane < WIDTH; lane++) {
        any |= (*marked)[lane];
    }
    return any != 0;
}

/* Puts `count` numbers of each lane side by side; takes those of the first `lanes` out. Number by number and not lane by lane: what is
 * written in parts would be waited for when it is read as a whole. */
ON static inline void OF(gather)(const double *const from[WIDTH], size_t count, NUMBER *to)
{
    for (size_t i = 0; i < count; i++) {
        NUMBER together = {0.0};
        for (int lane = 0; lane < WIDTH; lane++) {
            together[lane] = from[lane][i];
        }
        to[i] = together;
    }
}

ON static inline void OF(scatter)(const NUMBER *from, size_t count, int lanes, double *const to[WIDTH])
{
    for (size_t i = 0; i < count; i++) {
        const NUMBER together = from[i];
        for (int lane = 0; lane < lanes; lane++) {
            to[lane][i] = together[lane];
        }
    }
}

/* The same of those that `places` name. */
ON static inline void OF(gather_from)(const double *const from[WIDTH], const int *places, size_t count, NUMBER *to)
{
    for (size_t i = 0; i < count; i++) {
        NUMBER together = {0.0};
        for (int lane = 0; lane < WIDTH; lane++) {
            together[lane] = from[lane][places[i]];
        }
        to[i] = together;
    }
}
