# Completes felt-engine in bash, 4 or newer. Made by: python -m felt_engine.completion --write

# The words that begin with $1.
_felt_engine_words() {
    local typed=$1 word
    shift
    for word in "$@"; do
        [[ $word == "$typed"* ]] && COMPREPLY+=("$word")
    done
}

# Folders, and files that fit one of the patterns, that begin with $1. No name is taken apart.
_felt_engine_paths() {
    local typed=$1 found pattern
    shift
    compopt -o filenames 2>/dev/null
    while IFS= read -r found; do
        COMPREPLY+=("$found")
    done < <(
        compgen -d -- "$typed"
        for pattern in "$@"; do
            compgen -f -X "!$pattern" -- "$typed"
        done
    )
}

_felt_engine() {
    local typed=$2 command= option= place= only= count=1 at word
    COMPREPLY=()
    for ((at = 1; at < COMP_CWORD; at++)); do
        word=${COMP_WORDS[at]}
        if [[ -n $option ]]; then
            [[ $word == = ]] || option=
        elif [[ $word == *[\<\>] ]]; then
            option='>'
        elif [[ -z $only && $word == -- ]]; then
            only=yes
        elif [[ -z $only && $word == -?* ]]; then
            case "$command $word" in
            'check --as' |\
            'check --to' |\
            'check --stop-at' |\
            'check --studio' |\
            'check --known' |\
            'check --write-known' |\
            'check --rule-file' |\
            'check --called' |\
            'check --processes' |\
            'check --keep' |\
            'resize --times' |\
            'resize --laid-out' |\
            'resize --finished' |\
            'resize --have' |\
            'resize --notebook' |\
            'resize --pieces' |\
            'resize --studio' |\
            'resize --to' |\
            'forecast --notebook' |\
            'forecast --without' |\
            'forecast --finished' |\
            'forecast --studio' |\
            'forecast --as' |\
            'forecast --to' |\
            'rows --tuft' |\
            'rows --studio' |\
            'swatches --without' |\
            'swatches --studio' |\
            'rules --studio' |\
            'rules --rule-file' |\
            'new-plugin --to') option=$word ;;
            esac
        elif [[ -z $command ]]; then
            command=$word
        else
            ((count += 1))
        fi
    done
    if [[ -n $option ]]; then
        place=$option
    elif [[ -z $only && $typed == -* ]]; then
        place=options
    else
        place=$count
    fi
    case "$command $place" in
    *' >') _felt_engine_paths "$typed" '*' ;;
    ' options')
        _felt_engine_words "$typed" --help --version
        ;;
    ' 1')
        _felt_engine_words "$typed" check resize forecast rows swatches rules new-plugin
        ;;
    'check options')
        _felt_engine_words "$typed" --help --as --to --stop-at --studio --known --write-known --rule-file --called --processes --keep
        ;;
    'check --as')
        _felt_engine_words "$typed" json junit markdown page sarif text
        ;;
    'check --to')
        _felt_engine_paths "$typed" '*'
        ;;
    'check --stop-at')
        _felt_engine_words "$typed" fault caution note
        ;;
    'check --studio')
        _felt_engine_words "$typed" none
        _felt_engine_paths "$typed" '*.[yY][aA][mM][lL]' '*.[yY][mM][lL]' '*.[jJ][sS][oO][nN]'
        ;;
    'check --known')
        _felt_engine_paths "$typed" '*'
        ;;
    'check --write-known')
        _felt_engine_paths "$typed" '*'
        ;;
    'check --rule-file')
        _felt_engine_paths "$typed" '*.[pP][yY]'
        ;;
    'check --keep')
        _felt_engine_paths "$typed"
        ;;
    'check '[1-9]*)
        _felt_engine_paths "$typed" '*.[yY][aA][mM][lL]' '*.[yY][mM][lL]' '*.[jJ][sS][oO][nN]'
        ;;
    'resize options')
        _felt_engine_words "$typed" --help --times --laid-out --finished --have --notebook --pieces --studio --to
        ;;
    'resize --notebook')
        _felt_engine_paths "$typed" '*.[yY][aA][mM][lL]' '*.[yY][mM][lL]' '*.[jJ][sS][oO][nN]'
        ;;
    'resize --studio')
        _felt_engine_words "$typed" none
        _felt_engine_paths "$typed" '*.[yY][aA][mM][lL]' '*.[yY][mM][lL]' '*.[jJ][sS][oO][nN]'
        ;;
    'resize --to')
        _felt_engine_paths "$typed" '*'
        ;;
    'resize 1')
        _felt_engine_paths "$typed" '*.[yY][aA][mM][lL]' '*.[yY][mM][lL]' '*.[jJ][sS][oO][nN]'
        ;;
    'resize '[1-9]*)
        _felt_engine_words "$typed" --help --times --laid-out --finished --have --notebook --pieces --studio --to
        ;;
    'forecast options')
        _felt_engine_words "$typed" --help --notebook --without --finished --studio --as --to
        ;;
    'forecast --notebook')
        _felt_engine_paths "$typed" '*.[yY][aA][mM][lL]' '*.[yY][mM][lL]' '*.[jJ][sS][oO][nN]'
        ;;
    'forecast --studio')
        _felt_engine_words "$typed" none
        _felt_engine_paths "$typed" '*.[yY][aA][mM][lL]' '*.[yY][mM][lL]' '*.[jJ][sS][oO][nN]'
        ;;
    'forecast --as')
        _felt_engine_words "$typed" text json
        ;;
    'forecast --to')
        _felt_engine_paths "$typed" '*'
        ;;
    'forecast 1')
        _felt_engine_paths "$typed" '*.[yY][aA][mM][lL]' '*.[yY][mM][lL]' '*.[jJ][sS][oO][nN]'
        ;;
    'forecast '[1-9]*)
        _felt_engine_words "$typed" --help --notebook --without --finished --studio --as --to
        ;;
    'rows options')
        _felt_engine_words "$typed" --help --tuft --studio
        ;;
    'rows --studio')
        _felt_engine_words "$typed" none
        _felt_engine_paths "$typed" '*.[yY][aA][mM][lL]' '*.[yY][mM][lL]' '*.[jJ][sS][oO][nN]'
        ;;
    'rows 1')
        _felt_engine_paths "$typed" '*.[yY][aA][mM][lL]' '*.[yY][mM][lL]' '*.[jJ][sS][oO][nN]'
        ;;
    'rows '[1-9]*)
        _felt_engine_words "$typed" --help --tuft --studio
        ;;
    'swatches options')
        _felt_engine_words "$typed" --help --without --studio
        ;;
    'swatches --studio')
        _felt_engine_words "$typed" none
        _felt_engine_paths "$typed" '*.[yY][aA][mM][lL]' '*.[yY][mM][lL]' '*.[jJ][sS][oO][nN]'
        ;;
    'swatches 1')
        _felt_engine_paths "$typed" '*.[yY][aA][mM][lL]' '*.[yY][mM][lL]' '*.[jJ][sS][oO][nN]'
        ;;
    'swatches '[1-9]*)
        _felt_engine_words "$typed" --help --without --studio
        ;;
    'rules options')
        _felt_engine_words "$typed" --help --studio --rule-file
        ;;
    'rules --studio')
        _felt_engine_words "$typed" none
        _felt_engine_paths "$typed" '*.[yY][aA][mM][lL]' '*.[yY][mM][lL]' '*.[jJ][sS][oO][nN]'
        ;;
    'rules --rule-file')
        _felt_engine_paths "$typed" '*.[pP][yY]'
        ;;
    'rules 1')
        _felt_engine_words "$typed" below-scale cautions-printed cut-off-layer direction-balance edge-finish halo-clash luster-carrier order-of-work rows-and-laps sizes-agree stated-totals thin-layer tools-fit treated-wool uneven-shrinking uneven-working unit-slip weight-for-use
        ;;
    'rules '[1-9]*)
        _felt_engine_words "$typed" --help --studio --rule-file
        ;;
    'new-plugin options')
        _felt_engine_words "$typed" --help --to
        ;;
    'new-plugin --to')
        _felt_engine_paths "$typed"
        ;;
    'new-plugin 1')
        ;;
    'new-plugin '[1-9]*)
        _felt_engine_words "$typed" --help --to
        ;;
    esac
}

complete -F _felt_engine felt-engine
