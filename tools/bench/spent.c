/* spent.c: spent COMMAND [WORD]...: runs a command and prints what it took, as one line of JSON on standard output;
 * what the command prints goes to standard error. A small process of its own, because Linux counts the memory of the
 * process that starts a command towards the peak of the command. */
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

static double seconds(struct timeval time)
{
    return (double)time.tv_sec + 1e-6 * (double)time.tv_usec;
}

int main(int argc, char **argv)
{
    if (argc < 2) {
        fputs("usage: spent COMMAND [WORD]...\n", stderr);
        return EXIT_FAILURE;
    }
    struct timespec began, ended;
    (void)clock_gettime(CLOCK_MONOTONIC, &began);
    pid_t child = fork();
    if (child == 0) {
        (void)dup2(STDERR_FILENO, STDOUT_FILENO);
        (void)execv(argv[1], argv + 1);
        perror(argv[1]);
        _exit(127);
    }
    int status = 0;
    if (child < 0 || waitpid(child, &status, 0) < 0) {
        perror("spent");
        return EXIT_FAILURE;
    }
    (void)clock_gettime(CLOCK_MONOTONIC, &ended);
    struct rusage used;
    (void)getrusage(RUSAGE_CHILDREN, &used);
    printf("{\"wall\": %.6f, \"processor\": %.6f, \"peak_MB\": %.2f}\n",
           (double)(ended.tv_sec - began.tv_sec) + 1e-9 * (double)(ended.tv_nsec - began.tv_nsec),
           seconds(used.ru_utime) + seconds(used.ru_stime), (double)used.ru_maxrss / 1024.0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : EXIT_FAILURE;
}
